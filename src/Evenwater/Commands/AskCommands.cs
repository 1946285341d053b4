using System.CommandLine;
using Evenwater.Control;
using Evenwater.Options;

namespace Evenwater.Commands;

/// <summary>evenwater close and reset: one thing asked of the running daemon over its own socket.</summary>
internal static class AskCommands
{
    public static IEnumerable<Command> Create() =>
    [
        Make("close", "Close the valve now. Needs no permission and may be repeated.", Station("the station's name; left out: every station's valve")),
        Make("reset", "Allow opening again after a trip, when its cause is gone. Opens nothing.", Station()),
    ];

    /// <summary>Asks the daemon, prints its answer, gives the exit code.</summary>
    public static async Task<int> AskAsync(ControlAsk ask)
    {
        if (await AnswerAsync(ask) is { } answer)
        {
            return Told(answer);
        }

        return Exit.Wrong(NoDaemon());
    }

    /// <summary>Prints an answer, and gives the exit code: the same as without a daemon for what can not be.</summary>
    internal static int Told(ControlAnswer answer) => answer.NotUnderstood || answer.NoSuchStation || answer.CanNotBe ? Exit.Wrong(answer.Text) : Exit.Tell(answer.Ok, answer.Text);

    /// <summary>What is told when neither daemon nor demo runs.</summary>
    public static string NoDaemon() => $"No daemon answers at {Places.Socket(Places.State(demo: false))}. Start it with 'evenwater serve', run this as the same user, "
        + "or set $STATE_DIRECTORY to its state folder. If water is running, close it by hand: pull the valve's plug or lift the intake.";

    /// <summary>The answer of the daemon, or else of the demo; null when neither runs.</summary>
    public static async Task<ControlAnswer?> AnswerAsync(ControlAsk ask) =>
        await ControlClient.AskAsync(Places.Socket(Places.State(demo: false)), ask)
        ?? await ControlClient.AskAsync(Places.Socket(Places.State(demo: true)), ask);

    /// <summary>The station that is meant, where it may be left out.</summary>
    public static Argument<string?> Station(string description = "the station's name; may be left out when there is only one") =>
        new("station") { Description = description, Arity = ArgumentArity.ZeroOrOne };

    private static Command Make(string verb, string description, Argument<string?> station)
    {
        var command = new Command(verb, description) { station };
        command.SetAction((parse, _) => AskAsync(new ControlAsk(verb, parse.GetValue(station))));
        return command;
    }
}
