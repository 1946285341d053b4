using Evenwater.Commands;
using Evenwater.Photographs;

// Before anything else: this role takes as little of the program with it as it can.
if (args is [RedrawProcess.Argument])
{
    return RedrawProcess.Run();
}

var parsed = Root.For(args).Parse(args);
return Mistakes.Of(parsed) is { Count: > 0 } mistakes
    ? Exit.Wrong($"{string.Join('\n', mistakes)}\n'evenwater --help' and 'evenwater COMMAND --help' show what there is.")
    : await parsed.InvokeAsync(Root.HowFor(args));
