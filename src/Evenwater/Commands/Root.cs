using System.CommandLine;

namespace Evenwater.Commands;

/// <summary>The program's commands, all of them.</summary>
internal static class Root
{
    public static RootCommand Create()
    {
        var root = new RootCommand("Evenwater: plans a drip, watches it, says when the waters are even, and closes the valve in time. Not a safety device.")
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

        return root;
    }
}
