using System.CommandLine;
using Evenwater.Commands;

var root = new RootCommand("Evenwater: plans a drip, watches it, says when the waters are even, and closes the valve in time. Not a safety device.")
{
    ServeCommand.Create(),
    BeginCommand.Create(),
    PlanCommand.Create(),
    RehearseCommand.Create(),
    ReplayCommand.Create(),
    CheckCommand.Create(),
    FinishCommand.Create(),
};
foreach (var command in AskCommands.Create())
{
    root.Subcommands.Add(command);
}

var parsed = root.Parse(args);
if (parsed.Errors.Count > 0)
{
    return Exit.Wrong($"{string.Join('\n', parsed.Errors.Select(e => e.Message))}\n'evenwater --help' and 'evenwater COMMAND --help' show what there is.");
}

return await parsed.InvokeAsync();
