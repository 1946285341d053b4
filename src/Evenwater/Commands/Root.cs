using System.CommandLine;
using System.CommandLine.Invocation;

namespace Evenwater.Commands;

/// <summary>The program's commands, all of them.</summary>
internal static class Root
{
    private const string About = "Evenwater: plans a drip, watches it, says when the waters are even, and closes the valve in time. Not a safety device.";

    /// <summary>All that these words need: who serves for months carries no other command.</summary>
    public static RootCommand For(string[] words) => words is ["serve", ..] ? new RootCommand(About) { ServeCommand.Create() } : Create();

    /// <summary>
    /// How they are run: who serves is given time to stop, five seconds for what speaks to others (<see cref="Daemon"/>) and some for the log's last commit; the library would end the process after
    /// two, with readings that are not on the disk. Less than the unit's TimeoutStopSec=.
    /// </summary>
    public static InvocationConfiguration HowFor(string[] words) =>
        words is ["serve", ..] ? new InvocationConfiguration { ProcessTerminationTimeout = TimeSpan.FromSeconds(9) } : new InvocationConfiguration();

    public static RootCommand Create()
    {
        var root = new RootCommand(About)
        {
            ServeCommand.Create(),
            PlanCommand.Create(),
            CheckCommand.Create(),
            BeginCommand.Create(),
            DrawnCommand.Create(),
            FinishCommand.Create(),
            CalibrateCommand.Create(),
            RehearseCommand.Create(),
            ReplayCommand.Create(),
            ScoreCommand.Create(),
            JournalCommand.Create(),
            ArrivalCommand.Create(),
            TankCommand.Create(),
            ReviewCommand.Create(),
            DidCommand.Create(),
            ReportCommand.Create(),
            ExportCommand.Create(),
            ImportCommand.Create(),
            WatchCommand.Create(),
            WaterCommand.Create(),
            PasswordCommand.Create(),
        };
        foreach (var command in AskCommands.Create().Concat(AlarmCommands.Create()))
        {
            root.Subcommands.Add(command);
        }

        foreach (var command in root.Subcommands)
        {
            GiveBack(command);
        }

        return root;
    }

    /// <summary>
    /// Has a command give its thread back before it does anything. The library begins to hear Ctrl-C when it has the command's task: one that came to its first question without a pause was
    /// ended there by the signal itself, without a word about the valve.
    /// </summary>
    internal static void GiveBack(Command command)
    {
        if (command.Action is AsynchronousCommandLineAction action)
        {
            command.SetAction(async (parse, stop) =>
            {
                await Task.Yield();
                return await action.InvokeAsync(parse, stop);
            });
        }
    }
}
