using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;
using Evenwater.Page.Frame;

namespace Evenwater.Page.Journal;

/// <summary>The keeper's book on the page: read, written, corrected, taken back.</summary>
internal static class JournalRoutes
{
    private const string Base = "/stations/{name}/journal";

    public static void Map(WebApplication app)
    {
        app.MapGet(Base, (string name, HttpContext http) => On(name, http, posted => JournalShow.Read(http, posted)));
        app.MapPost(Base, (string name, HttpContext http) => On(name, http, posted => Write(http, posted))).WithMetadata(PhotographUpload.Limit);
        app.MapPost(Base + "/{id}/withdraw", (string name, string id, HttpContext http) => On(name, http, posted => Withdraw(http, posted, id)));
        app.MapPost(Base + "/{id}/photograph", (string name, string id, HttpContext http) => On(name, http, posted => Photograph(http, posted, id))).WithMetadata(PhotographUpload.Limit);
        PhotographRoutes.Map(app);
        NoteRoutes.Map(app);
    }

    /// <summary>What is asked of a station that there is.</summary>
    internal static async Task<IResult> On(string name, HttpContext http, Func<Posted, Task<IResult>> then) =>
        http.RequestServices.GetRequiredService<StationBoard>().Find(name) is { } posted ? await then(posted) : PageProblem.NoStation(name);

    private static async Task<IResult> Write(HttpContext http, Posted posted)
    {
        var desk = http.RequestServices.GetRequiredService<JournalDesk>();
        var (typed, book, now) = (await TypedForm.Read(http), desk.Book(posted.View.Name), posted.View.Now);
        var kind = NoteKinds.Named(typed.Text("kind"));
        var matter = typed.Text("corrects") is { } id ? book.Find(id) : null;
        if (!KindFields.Quick.Contains(kind)) typed.Refuse("kind", string.Join(", ", KindFields.Quick.Select(NoteKinds.Name)), "Choose one; 'other' takes anything.");
        if (matter is null && typed.Text("corrects") is not null) typed.Refuse("corrects", "a note of this book", "Look for it in the book below.");
        if (typed.Refused.Count > 0) return await Again();

        var note = NoteEntry.Read(typed, kind, matter is null ? null : matter.Said with { Id = typed.Text("corrects")! }, desk.Zone, now);
        return typed.Refused.Count > 0 ? await Again() : await Finish(http, posted, typed, note, book, KindFields.Field, Again);

        Task<IResult> Again() => PageProblem.Fields(http, "The note was not written", typed.Refused, status =>
            JournalShow.Again(http, posted, status, typed, view => view with { New = matter is null ? kind : NoteKind.None, Editing = matter }));
    }

    private static async Task<IResult> Withdraw(HttpContext http, Posted posted, string id)
    {
        var (typed, book) = (await TypedForm.Read(http), http.RequestServices.GetRequiredService<JournalDesk>().Book(posted.View.Name));
        if (book.Find(id) is not { } matter) return NoNote(id);
        var note = new Note { Kind = matter.Said.Kind, Corrects = id, Withdrawn = true, Text = typed.Text("why") ?? "", By = typed.Text("by") ?? "" };
        return await Finish(http, posted, typed, note, book, key => key == "text" ? "why" : KindFields.Field(key), () => ById(http, posted, typed, id));
    }

    private static async Task<IResult> Photograph(HttpContext http, Posted posted, string id)
    {
        var (typed, book) = (await TypedForm.Read(http), http.RequestServices.GetRequiredService<JournalDesk>().Book(posted.View.Name));
        if (book.Find(id) is not { } matter) return NoNote(id);
        if (await PhotographUpload.File(http) is null && http.Features.Get<TooLargePhotograph>() is null) typed.Refuse(PhotographUpload.Field, Evenwater.Photographs.PictureKinds.Allowed, "Choose one.");
        var note = matter.Said with { Id = "", WrittenAt = null, Corrects = id, By = typed.Text("by") ?? "" };
        return typed.Refused.Count > 0 ? await ById(http, posted, typed, id) : await Finish(http, posted, typed, note, book, KindFields.Field, () => ById(http, posted, typed, id));
    }

    /// <summary>Attaches what came with it, writes, and shows the book; or shows the form again.</summary>
    internal static async Task<IResult> Finish(HttpContext http, Posted posted, TypedForm typed, Note note, Book book, Func<string, string> field, Func<Task<IResult>> again, string page = "/journal")
    {
        var desk = http.RequestServices.GetRequiredService<JournalDesk>();
        string? kept = null;
        IReadOnlyList<Problem> refused = [];
        if (http.Features.Get<TooLargePhotograph>() is { } large)
        {
            refused = [.. NoteRules.Problems(note, book, posted.View.Now), large.Refusal];
        }
        else if (await PhotographUpload.File(http) is { } file)
        {
            (note, kept, refused) = await PhotographUpload.Attach(desk, file, note, book, posted.View.Now, http.RequestAborted);
        }

        var written = refused.Count > 0 ? null : await desk.Write(posted.View.Name, note);
        if (IsRefused(written) && kept is not null && !IsNamed(desk.Book(posted.View.Name), kept)) desk.Photographs.Delete(kept);
        foreach (var problem in written?.Problems ?? refused) typed.Refuse(problem, field);
        if (typed.Refused.Count > 0) return await again();
        if (written is not { Ok: true }) return await NotWritten(http, written?.Text ?? "");
        if (!PageRender.WantsPage(http)) return NoteRoutes.Made(posted.View.Name, written);
        http.Response.Headers.Location = $"{PageNav.Address(posted.View.Name, page)}?wrote={written.Id ?? "before"}"; // no note of the book: it stood there already, and who sent a form twice is told so
        return Results.StatusCode(StatusCodes.Status303SeeOther);
    }

    /// <summary>Whether nothing of it is written, nor waits to be: a note that waits for the disk names its photograph yet.</summary>
    internal static bool IsRefused(Written? written) => written is null or { Ok: false, Problems.Count: > 0 };

    /// <summary>The log took nothing, and may in a while: a person has what was typed still.</summary>
    private static async Task<IResult> NotWritten(HttpContext http, string why) => await TypedAgain.Of(http) is { } typed
        ? await PageRefused.Again(http, StatusCodes.Status503ServiceUnavailable, "Not written", why, typed)
        : PageRefused.Answer(StatusCodes.Status503ServiceUnavailable, "Not written", why);

    private static bool IsNamed(Book book, string photograph) => book.Matters.Any(matter => matter.Notes.Any(note => note.Photographs?.Contains(photograph) == true));

    private static Task<IResult> ById(HttpContext http, Posted posted, TypedForm typed, string id) =>
        PageProblem.Fields(http, "The note was not written", typed.Refused, status => JournalShow.Again(http, posted, status, typed, view => view with { Open = id }));

    private static IResult NoNote(string id) => PageRefused.Answer(StatusCodes.Status404NotFound, "No such note", $"There is no note {Plain.Line(id)} in this book.");
}
