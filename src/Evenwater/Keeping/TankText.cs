using Evenwater.Core.Review.Comparing;
using Evenwater.Core.Keeping;
using Evenwater.Core.Standing;

namespace Evenwater.Keeping;

/// <summary>A tank's record in lines for a terminal: each begins with what it is about, and what needs a person says so in words.</summary>
internal static class TankText
{
    private const int Column = 14;

    /// <summary>The whole screen.</summary>
    public static IEnumerable<string> Of(TankRecord record, TimeZoneInfo zone)
    {
        yield return $"{record.Station.Name}, {KeptTime.Text(record.Now, zone)}";
        foreach (var line in Listed("log", DamagedRows.Say(record.DamagedRows, former: record.FormerConfiguration))) yield return line;
        foreach (var channel in record.Channels) yield return Line(DidWords.Name(channel.Channel), TankChannelText.Of(channel, record.Now));
        foreach (var line in Light(record, zone)) yield return line;
        foreach (var line in Listed("due", record.Routine.Select(task => Due(task, record.Now, zone)))) yield return line;
        foreach (var line in Listed("water lost", TankBudgetText.Lost(record.WaterLost, record.Station))) yield return line;
        foreach (var line in Listed("doses", record.Doses.Select(dosed => TankBudgetText.Dose(dosed, record.Station.Source.VolumeLitres, zone)))) yield return line;
        foreach (var line in Listed("tests", record.Tests.Select(test => Test(test, zone)))) yield return line;
        foreach (var line in Listed("looks", record.Looks.Select(look => Look(look, zone)))) yield return line;
        foreach (var line in Listed("trouble", record.Troubles.Where(trouble => trouble.IsOpen).SelectMany(trouble => Trouble(trouble, record.Troubles, zone)))) yield return line;
    }

    private static string Line(string about, string text) => $"{about.PadRight(Column)}{text}";

    private static IEnumerable<string> Listed(string about, IEnumerable<string> lines) => lines.Select((line, i) => Line(i == 0 ? about : "", line));

    private static IEnumerable<string> Light(TankRecord record, TimeZoneInfo zone)
    {
        if (record.Light.Count == 0) yield break;
        var today = DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(record.Now, zone).DateTime);
        LightDay[] whole = [.. record.Light.Where(day => day.Day < today && day.Tells)];
        if (record.Light[^1] is var last && last.Day == today) yield return Line("light today", $"{Hours(last)} so far{Switched(last, zone)}");
        if (whole.Length > 0) yield return Line("light before", $"{whole[^1].Day:yyyy-MM-dd}: {Hours(whole[^1])}{Switched(whole[^1], zone)}");
        yield return whole.Length >= HourBaseline.LeastDays
            ? Line("", $"usual of {whole.Length} days: {Number(Spread.Median(whole.Select(day => day.LitHours)), 1)} h lit, {Number(Spread.Median(whole.Select(day => day.LuxHours)), 0)} lx h")
            : Line("", $"usual: can't tell yet, {whole.Length} of {HourBaseline.LeastDays} whole days");
    }

    private static string Hours(in LightDay day) => $"{Number(day.LitHours, 1)} h lit, {Number(day.LuxHours, 0)} lx h";

    private static string Switched(in LightDay day, TimeZoneInfo zone) =>
        (day.On is { } on ? $", on at {Clock(on, zone)}" : "") + (day.Off is { } off ? $", off at {Clock(off, zone)}" : "");

    private static string Due(in RoutineStanding task, DateTimeOffset now, TimeZoneInfo zone)
    {
        var name = NoteKinds.Name(Enum.Parse<NoteKind>(task.Task.Kind.ToString())) + (task.Task.About is { } about ? $" ({about})" : "");
        if (task.OverdueAt(now) is not { } over) return $"{name}: never noted; every {(task.Task.DueEveryDays == 1 ? "day" : $"{Number(task.Task.DueEveryDays, 2)} days")}";
        var last = $"last {KeptTime.Text(task.Last, zone)}";
        return task.IsOverdueAt(now) ? $"{name}: OVERDUE by {Days(over)}, {last}"
            : task.IsDueAt(now) ? $"{name}: due now, {last}"
            : $"{name}: in {Days(-over)}, {last}";
    }

    private static string Test((Note Last, Note? Before) test, TimeZoneInfo zone)
    {
        var (last, before) = (test.Last.Test!, test.Before?.Test);
        var told = $"{Reading(last)}, {KeptTime.Text(test.Last.At, zone)}";
        return before is null ? told
            : $"{told}; before {Reading(before)}, {KeptTime.Text(test.Before!.At, zone)}: {(last.DiffersFrom(before) ? "it changed" : "no more than the kit's steps")}";
    }

    /// <summary>What a test read, with what reading alone leaves open.</summary>
    public static string Reading(ManualTest test) =>
        $"{Substances.Symbol(test.Of)} {(test.Below ? "below " : "")}{Number(test.Value, 3)} {Substances.Unit(test.Of)}".TrimEnd() + (test.Below ? "" : $" ± {test.Sd.ToString(test.Sd >= 0.01 ? "0.##" : "G2")}");

    private static string Look((Note Last, Note? Before) look, TimeZoneInfo zone)
    {
        var last = look.Last.Observation!;
        var before = look.Before?.Observation is { } former ? $"; before {former.Step}, {KeptTime.Text(look.Before.At, zone)}" : "";
        return $"{Sights.Name(last.Of)} {last.Step}, {Sights.Words(last.Of, last.Step)}, {KeptTime.Text(look.Last.At, zone)}{before}";
    }

    private static IEnumerable<string> Trouble(Trouble trouble, IReadOnlyList<Trouble> all, TimeZoneInfo zone)
    {
        yield return $"{trouble.Opened.Id} {trouble.Name}, open since {KeptTime.Text(trouble.Opened.At, zone)}{Words(trouble.Opened)}";
        foreach (var tried in trouble.Tried) yield return $"  tried {KeptTime.Text(tried.At, zone)}{Words(tried)}";
        if (Troubles.Before(all, trouble) is not { } before) yield break;
        yield return $"  the last time, {KeptTime.Text(before.Opened.At, zone)}{(before.Lasted is { } lasted ? $", {Days(lasted)} long" : ", never closed")}";
        foreach (var step in before.Tried.Concat(before.Closed is { } closed ? [closed] : [])) yield return $"    {(step == before.Closed ? "closed" : "tried")}{Words(step)}";
    }

    private static string Words(Note note) => note.Text.Trim().Length > 0 ? $": {BookText.OneLine(note.Text)}" : "";

    internal static string Days(TimeSpan span) => span.TotalHours < 0.5 ? "less than an hour" : span.TotalDays < 1 ? $"{Number(span.TotalHours, 0)} h"
        : Number(span.TotalDays, span.TotalDays < 10 ? 1 : 0) is var days and not "1" ? $"{days} days" : "1 day";

    internal static string Number(double value, int decimals) => value.ToString($"0.{new string('#', decimals)}");

    private static string Clock(DateTimeOffset at, TimeZoneInfo zone) => TimeZoneInfo.ConvertTime(at, zone).ToString("HH:mm");
}
