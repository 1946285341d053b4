using System.CommandLine;
using System.Globalization;
using Evenwater.Control;
using Evenwater.Core.Alarms;

namespace Evenwater.Commands;

/// <summary>evenwater alarms, acknowledge, shelve, unshelve, retire, return: what stands, and what a person does about it.</summary>
internal static class AlarmCommands
{
    public static IEnumerable<Command> Create() =>
    [
        List(),
        Make("acknowledge", "Say that you have seen an alarm, or 'all'. Changes no trip and opens nothing."),
        Shelve(),
        Make("unshelve", "Let a shelved alarm call again now."),
        Retire(),
        Make("return", "Return an alarm to service."),
    ];

    /// <summary>A span such as 90m or 2h, s; null when it is none.</summary>
    public static double? Span(string text)
    {
        var unit = text.Length == 0 ? 0 : text[^1] switch { 's' => 1, 'm' => 60, 'h' => 3600, _ => 0 };
        return unit > 0 && double.TryParse(text[..^1], NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var number) ? number * unit : null;
    }

    private static Command List()
    {
        var station = AskCommands.Station();
        var all = new Option<bool>("--all") { Description = "every alarm with where it stands and how it is set, not only what is not normal" };
        var command = new Command("alarms", "What is happening, what was done, what to do and by when; and how often you were called.") { station, all };
        command.SetAction((parse, _) => AskCommands.AskAsync(new ControlAsk("alarms", parse.GetValue(station), Note: parse.GetValue(all) ? "all" : null)));
        return command;
    }

    private static Command Shelve()
    {
        var (name, station) = (Name(), AskCommands.Station());
        var span = new Option<string>("--for") { Description = "for how long, such as 90m or 2h, at most 8h", Required = true };
        var reason = Reason();
        var command = new Command("shelve", "Put an alarm aside for a while; it then calls by itself if it is still so. Changes no trip.") { name, station, span, reason };
        command.SetAction((parse, _) => Span(parse.GetValue(span)!) is { } seconds and > 0 and <= AlarmAsk.MostShelvedSeconds
            ? AskAsync(new ControlAsk("shelve", parse.GetValue(station), Note: parse.GetValue(reason), Alarm: parse.GetValue(name), Seconds: seconds))
            : Task.FromResult(Exit.Wrong($"--for = {parse.GetValue(span)}: allowed is above 0, to 8h, written such as 90m or 2h. Longer is refused: look again then.")));
        return command;
    }

    private static Command Retire()
    {
        var (name, station) = (Name(), AskCommands.Station());
        var reason = Reason();
        var command = new Command("retire", "Take an alarm out of service until you return it. Changes no trip.") { name, station, reason };
        command.SetAction((parse, _) => AskAsync(new ControlAsk("retire", parse.GetValue(station), Note: parse.GetValue(reason), Alarm: parse.GetValue(name))));
        return command;
    }

    private static Command Make(string verb, string description)
    {
        var (name, station) = (Name(), AskCommands.Station());
        var command = new Command(verb, description) { name, station };
        command.SetAction((parse, _) => AskAsync(new ControlAsk(verb, parse.GetValue(station), Alarm: parse.GetValue(name))));
        return command;
    }

    /// <summary>A name that no alarm has is wrong use, whether a daemon runs or not.</summary>
    private static Task<int> AskAsync(ControlAsk ask) => AlarmTable.All.Any(alarm => alarm.Name == ask.Alarm) || ask is { Verb: "acknowledge", Alarm: "all" }
        ? AskCommands.AskAsync(ask)
        : Task.FromResult(Exit.Wrong($"alarm = {ask.Alarm}: allowed are {string.Join(", ", AlarmTable.All.Select(alarm => alarm.Name))}{(ask.Verb == "acknowledge" ? ", all" : "")}. 'evenwater alarms' tells which stand."));

    private static Argument<string> Name() => new("alarm") { Description = "the alarm's name, as 'evenwater alarms' tells it" };

    private static Option<string> Reason() => new("--reason") { Description = "why, kept in the log", Required = true };
}
