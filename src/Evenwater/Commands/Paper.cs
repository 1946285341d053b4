using Spectre.Console;

namespace Evenwater.Commands;

/// <summary>What a command writes on: colour and the terminal's width on a terminal, bare unbroken lines anywhere else. NO_COLOR is respected.</summary>
internal static class Paper
{
    private const int Unbroken = 10_000;

    public static IAnsiConsole For(TextWriter writer)
    {
        var output = new AnsiConsoleOutput(writer);
        var colour = output.IsTerminal && string.IsNullOrEmpty(Environment.GetEnvironmentVariable("NO_COLOR"));
        var paper = AnsiConsole.Create(new AnsiConsoleSettings
        {
            Out = output,
            Ansi = colour ? AnsiSupport.Detect : AnsiSupport.No,
            ColorSystem = colour ? ColorSystemSupport.Detect : ColorSystemSupport.NoColors,
            Interactive = InteractionSupport.No,
        });
        if (!output.IsTerminal) paper.Profile.Width = Unbroken;
        return paper;
    }
}
