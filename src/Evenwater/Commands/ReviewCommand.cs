using System.CommandLine;
using Evenwater.Core.Review.Comparing;
using Evenwater.Core;
using Evenwater.Keeping;

namespace Evenwater.Commands;

/// <summary>evenwater review: what swung in a tank, and what may have made it.</summary>
internal static class ReviewCommand
{
    private const int UsualDays = 14;
    private const int MostDays = 150;

    public static Command Create()
    {
        var names = string.Join(", ", TankHistory.Channels.Select(DidWords.Name));
        var station = AskCommands.Station();
        var from = new Option<string?>("--from") { Description = $"from this time on; {UsualDays} days before the end if not said", HelpName = "TIME" };
        var to = new Option<string?>("--to") { Description = "to this time; now if not said (of a simulated station its own now)", HelpName = "TIME" };
        var channel = new Option<string?>("--channel") { Description = $"only where this one swung: {names}" };
        var form = new Option<string>("--as") { Description = "text or csv", DefaultValueFactory = _ => "text" };
        var log = new Option<string?>("--log") { Description = "from the log in this folder; the daemon's if not said", HelpName = "FOLDER" };
        var command = new Command("review", "What swung in the tank, before and after, and what may have made it: causes ranked by arithmetic, with the book beside them.") { station, from, to, channel, form, log };
        command.SetAction((parse, _) => PenAndPaper.WithWordsAsync(() => Task.FromResult(Show(
            parse.GetValue(station), (parse.GetValue(from), parse.GetValue(to)), parse.GetValue(channel), parse.GetValue(form)!, parse.GetValue(log)))));
        return command;
    }

    private static int Show(string? asked, (string? From, string? To) span, string? only, string form, string? folder)
    {
        if (form is not ("text" or "csv")) return Exit.Wrong($"--as = {form}: allowed is text or csv.");
        var alone = TankHistory.Channels.Where(channel => DidWords.Name(channel) == only).Select(channel => (Channel?)channel).FirstOrDefault();
        if (only is not null && alone is null) return Exit.Wrong($"--channel = {only}: allowed is one of {string.Join(", ", TankHistory.Channels.Select(DidWords.Name))}.");
        if (KeptLog.Find(folder) is not { } log) return Exit.Wrong(KeptLog.NotThere(folder));
        var (name, problem) = log.Station(asked);
        if (problem is not null) return Exit.Wrong(problem);
        var (zone, clock) = (TimeZoneInfo.Local, LookBack.Now(log.Folder, name!, TimeProvider.System.GetUtcNow()));
        var (end, wrongEnd) = span.To is { } t ? KeptTime.Read("--to", t, zone, clock) : (clock, null);
        var (begin, wrongBegin) = span.From is { } f ? KeptTime.Read("--from", f, zone, clock) : (end?.AddDays(-UsualDays), null);
        if ((wrongEnd ?? wrongBegin) is { } wrong) return Exit.Wrong(wrong);
        if (!(begin < end) || (end - begin)!.Value.TotalDays > MostDays)
        {
            return Exit.Wrong($"--from = {KeptTime.Text(begin, zone)}, --to = {KeptTime.Text(end, zone)}: allowed is from before to, and {MostDays} days between them at the most. Ask for less, or swap the two.");
        }

        var back = LookBack.Read(log.Folder, name!, (begin.Value, end!.Value), zone);
        var beside = form == "csv" ? Console.Error : Console.Out; // a table has no place for a sentence
        foreach (var line in DamagedRows.Say(back.DamagedRows, former: back.FormerConfiguration)) beside.WriteLine(line);
        var place = $"in the tank of {name} from {KeptTime.Text(begin, zone)} to {KeptTime.Text(end, zone)}";
        var read = back.Courses.Where(course => alone is null || course.Key == alone).Select(course => ReadChannel.Of(course.Value, (begin.Value, end.Value))).ToList();
        if (read.Count == 0) return Exit.Tell(false, $"Nothing was measured {place}.");
        foreach (var line in LookBackText.Early(read)) beside.WriteLine(line);
        foreach (var line in form == "csv" ? LookBackText.Rows(back, alone) : LookBackText.Of(back, alone, zone)) Console.WriteLine(line);
        if (!LookBackText.Wanted(back, alone).Any()) beside.WriteLine(LookBackText.Nothing(read, (end - begin)!.Value.TotalHours, place));
        return Exit.Fine;
    }
}
