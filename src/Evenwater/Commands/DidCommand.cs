using System.CommandLine;
using Evenwater.Core.Review.Comparing;
using Evenwater.Keeping;

namespace Evenwater.Commands;

/// <summary>evenwater did: what a change did to a tank, and whether that can be told at all.</summary>
internal static class DidCommand
{
    public static Command Create()
    {
        var station = AskCommands.Station();
        var note = new Argument<string?>("note") { Description = "the note of the book that tells of the change, such as n12", Arity = ArgumentArity.ZeroOrOne };
        var at = new Option<string?>("--at") { Description = "in place of a note: when it was made", HelpName = "TIME" };
        var before = new Option<string?>("--before") { Description = $"whole days before it; {CompareSpans.UsualDays}d if not said", HelpName = "DAYS" };
        var after = new Option<string?>("--after") { Description = $"whole days after it; {CompareSpans.UsualDays}d if not said, or as many as there are", HelpName = "DAYS" };
        var settling = new Option<string?>("--settling") { Description = $"hours after it that are left out; {CompareSpans.UsualSettling}h if not said", HelpName = "HOURS" };
        var form = new Option<string>("--as") { Description = "text or csv", DefaultValueFactory = _ => "text" };
        var log = new Option<string?>("--log") { Description = "from the log in this folder; the daemon's if not said", HelpName = "FOLDER" };
        var command = new Command("did", "What did it do? Before and after a change, with intervals, and what else happened that can not be told apart from it.") { station, note, at, before, after, settling, form, log };
        command.SetAction((parse, _) => PenAndPaper.WithWordsAsync(() => Task.FromResult(Show(
            parse.GetValue(station), parse.GetValue(note), parse.GetValue(at),
            (parse.GetValue(before), parse.GetValue(after), parse.GetValue(settling)), parse.GetValue(form)!, parse.GetValue(log)))));
        return command;
    }

    private static int Show(string? station, string? note, string? at, (string? Before, string? After, string? Settling) spans, string form, string? folder)
    {
        if (form is not ("text" or "csv")) return Exit.Wrong($"--as = {form}: allowed is text or csv.");
        if (KeptLog.Find(folder) is not { } log) return Exit.Wrong(KeptLog.NotThere(folder));
        if (note is null && station is not null && at is null && log.Station(station).Name is null && log.Station(null).Name is not null) (station, note) = (null, station); // the note alone was named
        var (name, problem) = log.Station(station);
        var zone = TimeZoneInfo.Local;
        var now = PenAndPaper.Clock(station, folder).GetUtcNow();
        var (time, wrongTime) = at is { } told ? KeptTime.Read("--at", told, zone, now) : (null, null);
        var (before, wrongBefore) = Whole("--before", spans.Before, 'd', CompareSpans.LeastDays, CompareSpans.MostDays);
        var (after, wrongAfter) = Whole("--after", spans.After, 'd', CompareSpans.LeastDays, CompareSpans.MostDays);
        var (settling, wrongSettling) = Whole("--settling", spans.Settling, 'h', 0, CompareSpans.MostSettling);
        if ((problem ?? wrongTime ?? wrongBefore ?? wrongAfter ?? wrongSettling) is { } wrong) return Exit.Wrong(wrong);
        var (found, problems) = DidReading.Look(log.Folder, name!, new DidAsk(note, time, before, after, settling, now), zone);
        if (found is null) return Exit.Wrong(string.Join(' ', problems));
        foreach (var line in DamagedRows.Say(found.DamagedRows)) (form == "csv" ? Console.Error : Console.Out).WriteLine(line);
        foreach (var channel in found.Answer.Channels.Where(channel => form == "csv" && channel.TooLittle is not null)) Console.Error.WriteLine($"{DidWords.Name(channel.Channel)}: can't tell, {channel.TooLittle}");
        foreach (var line in form == "csv" ? DidText.Rows(found.Answer) : DidText.Of(found.Answer, zone, now)) Console.WriteLine(line);
        return Exit.Fine;
    }

    /// <summary>A whole number with or without its unit.</summary>
    internal static (int? Value, string? Problem) Whole(string key, string? text, char unit, int least, int most) =>
        text is null ? (null, null)
        : int.TryParse(text.AsSpan().TrimEnd(unit), System.Globalization.NumberStyles.None, System.Globalization.CultureInfo.InvariantCulture, out var value) && value >= least && value <= most ? (value, null)
        : (null, $"{key} = {text}: allowed is a whole number from {least} to {most} {unit}, such as {Math.Clamp(7, least, most)}{unit}. Say another.");
}
