using Evenwater.Commands;
using Evenwater.Photographs;

// Before anything else: this role takes as little of the program with it as it can.
if (args is [RedrawProcess.Argument])
{
    return RedrawProcess.Run();
}

var parsed = Root.For(args).Parse(args);
return parsed.Errors.Count == 0
    ? await parsed.InvokeAsync()
    : Exit.Wrong($"{string.Join('\n', parsed.Errors.Select(e => e.Message))}\n'evenwater --help' and 'evenwater COMMAND --help' show what there is.");
