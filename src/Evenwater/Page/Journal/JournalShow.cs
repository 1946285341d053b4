using Evenwater.Core.Keeping;
using Evenwater.Page.Frame;

namespace Evenwater.Page.Journal;

/// <summary>Shows the journal page.</summary>
internal static class JournalShow
{
    /// <summary>As its address asks for it.</summary>
    public static Task<IResult> Read(HttpContext http, Posted posted)
    {
        var asked = TypedForm.Of(http.Request.Query);
        var view = View(http, posted, asked);
        var editing = asked.Text("edit") is { } id ? view.Book.Find(id) : null;
        view = view with
        {
            New = NoteKinds.Named(asked.Text("new")) is var kind && KindFields.Quick.Contains(kind) ? kind : NoteKind.None,
            Editing = editing is { Said.Kind: var said } && KindFields.Quick.Contains(said) ? editing : null,
        };
        var answer = asked.Text("wrote") is { } wrote && view.Book.Find(wrote) is { } matter
            ? matter.Now is { Id: var now, Withdrawn: true, Corrects: var taken } && now == wrote ? $"{taken} is taken back; the book keeps it." : $"{wrote} stands in the book."
            : asked.Text("wrote") is not null ? "It stands in the book already." : asked.Text("deleted") is not null ? "The photograph's file is deleted."
            : asked.Refused.FirstOrDefault(refused => refused.Field == "page") is { } page ? $"Page of the book: {page.Sentence} The first is shown." : null; // no field of the form shows it
        return Show(http, posted, asked.Refused.Count > 0 ? StatusCodes.Status422UnprocessableEntity : StatusCodes.Status200OK, visit => visit with { Answer = answer }, view, asked);
    }

    /// <summary>Again, with what was typed and why it was refused.</summary>
    public static Task<IResult> Again(HttpContext http, Posted posted, int status, TypedForm typed, Func<JournalView, JournalView> with)
    {
        var nothing = new TypedForm(new Dictionary<string, string>());
        // What no field of the form shows.
        var unseen = typed.Refused.Where(refused => refused.Field is "kind" or "corrects" or "withdrawn").Select(refused => refused.Sentence).ToList();
        return Show(http, posted, status, visit => visit with { Kept = typed.Fields, Refused = typed.Refused, Answer = unseen.Count > 0 ? string.Join(' ', unseen) : null }, with(View(http, posted, nothing)), nothing);
    }

    private static JournalView View(HttpContext http, Posted posted, TypedForm asked)
    {
        var desk = http.RequestServices.GetRequiredService<JournalDesk>();
        return new JournalView
        {
            Book = desk.Book(posted.View.Name), Zone = desk.Zone, Now = posted.View.Now, Find = JournalFind.Read(asked, desk.Zone), IsKept = desk.Photographs.Has,
        };
    }

    private static Task<IResult> Show(HttpContext http, Posted posted, int status, Func<PageVisit, PageVisit> with, JournalView view, TypedForm asked)
    {
        var visit = PageVisit.Of(http, posted.View);
        return PageRender.Show<JournalPage>(
            http, status, (nameof(JournalPage.Visit), with(visit)), (nameof(JournalPage.View), view), (nameof(JournalPage.Looking), visit with { Kept = asked.Fields, Refused = asked.Refused }));
    }
}
