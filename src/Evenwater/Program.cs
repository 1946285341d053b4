using Evenwater.Commands;

var parsed = Root.Create().Parse(args);
return parsed.Errors.Count == 0
    ? await parsed.InvokeAsync()
    : Exit.Wrong($"{string.Join('\n', parsed.Errors.Select(e => e.Message))}\n'evenwater --help' and 'evenwater COMMAND --help' show what there is.");
