using Evenwater.Core.Keeping;
using Evenwater.Page.Frame;
using Evenwater.Page.Journal;

namespace Evenwater.Page.Arriving;

/// <summary>What came, in what water, and how it fared: written as `evenwater arrival` writes it.</summary>
internal static class ArrivalRoutes
{
    private const string Base = "/stations/{name}/arrival";

    public static void Map(WebApplication app)
    {
        app.MapGet(Base, (string name, HttpContext http) => JournalRoutes.On(name, http, posted => Read(http, posted)));
        app.MapPost(Base, (string name, HttpContext http) => JournalRoutes.On(name, http, posted => Write(http, posted))).WithMetadata(PhotographUpload.Limit);
    }

    private static Task<IResult> Read(HttpContext http, Posted posted)
    {
        var asked = TypedForm.Of(http.Request.Query);
        var desk = http.RequestServices.GetRequiredService<JournalDesk>();
        var book = desk.Book(posted.View.Name);
        var matter = asked.Text("edit") is { } id ? book.Find(id) : null;
        var answer = asked.Text("wrote") is { } wrote ? book.Find(wrote) is null ? "It stands in the book already." : $"{wrote} stands in the book." : null;
        return Show(http, posted, StatusCodes.Status200OK, visit => visit with { Answer = answer }, new ArrivalView
        {
            Book = book, Zone = desk.Zone, Now = posted.View.Now,
            Editing = matter?.Said is { Kind: NoteKind.Arrival or NoteKind.Outcome } said ? said with { Id = matter.Now.Id } : null,
        });
    }

    private static async Task<IResult> Write(HttpContext http, Posted posted)
    {
        var desk = http.RequestServices.GetRequiredService<JournalDesk>();
        var (typed, book, now) = (await TypedForm.Read(http), desk.Book(posted.View.Name), posted.View.Now);
        var matter = typed.Text("corrects") is { } id ? book.Find(id) : null;
        var former = matter?.Said is { Kind: NoteKind.Arrival or NoteKind.Outcome } said ? said with { Id = typed.Text("corrects")! } : null;
        if (former is null && typed.Text("corrects") is not null) typed.Refuse("corrects", "an arrival, or how they were, of this book", "Look for it in the journal.");
        var outcome = former is null ? typed.Text("act") == "outcome" : former.Kind == NoteKind.Outcome;
        var note = outcome ? ArrivalEntry.Outcome(typed, former, desk.Zone, now) : ArrivalEntry.Arrival(typed, former, desk.Zone, now);
        return typed.Refused.Count > 0 ? await Again() : await JournalRoutes.Finish(http, posted, typed, note, book, ArrivalEntry.Field, Again, "/arrival");

        Task<IResult> Again() => PageProblem.Fields(http, "The note was not written", typed.Refused, status => Show(
            http, posted, status,
            visit => visit with { Kept = typed.Fields, Refused = typed.Refused, Answer = typed.Refused.FirstOrDefault(refused => refused.Field == "corrects")?.Sentence },
            new ArrivalView { Book = book, Zone = desk.Zone, Now = now, Editing = former, OutcomeRefused = outcome }));
    }

    private static Task<IResult> Show(HttpContext http, Posted posted, int status, Func<PageVisit, PageVisit> with, ArrivalView view) =>
        PageRender.Show<ArrivalPage>(http, status, (nameof(ArrivalPage.Visit), with(PageVisit.Of(http, posted.View))), (nameof(ArrivalPage.View), view));
}
