using Evenwater.Page;
using Spectre.Console;

namespace Evenwater.Terminal;

/// <summary>
/// What <c>serve</c> shows: on a terminal a screen that is redrawn every second; anywhere else <see cref="PlainView"/>.
/// </summary>
internal sealed class TerminalView(StationBoard board, IAnsiConsole console, TimeProvider time)
{
    private static readonly TimeSpan s_beat = TimeSpan.FromSeconds(1);

    /// <summary>A console on the given output; colour only on a terminal and never when NO_COLOR is set to anything.</summary>
    public static IAnsiConsole ConsoleFor(TextWriter output, string? noColor, bool redirected) => AnsiConsole.Create(new AnsiConsoleSettings
    {
        Out = new AnsiConsoleOutput(output),
        Ansi = redirected ? AnsiSupport.No : AnsiSupport.Detect,
        ColorSystem = redirected || !string.IsNullOrEmpty(noColor) ? ColorSystemSupport.NoColors : ColorSystemSupport.Detect,
        Interactive = redirected ? InteractionSupport.No : InteractionSupport.Detect,
    });

    /// <summary>Shows until stopped, on this program's own output; what draws screens is not even loaded when that is no terminal.</summary>
    public static Task ShowAsync(StationBoard board, CancellationToken stop) =>
        Console.IsOutputRedirected ? new PlainView(board, Console.Out, TimeProvider.System).RunAsync(stop) : OnTerminalAsync(board, stop);

    /// <summary>Shows until stopped.</summary>
    public Task RunAsync(CancellationToken stop) =>
        console.Profile.Capabilities.Ansi ? RedrawAsync(stop) : new PlainView(board, console.Profile.Out.Writer, time).RunAsync(stop);

    private static Task OnTerminalAsync(StationBoard board, CancellationToken stop) =>
        new TerminalView(board, ConsoleFor(Console.Out, Environment.GetEnvironmentVariable("NO_COLOR"), redirected: false), TimeProvider.System).RunAsync(stop);

    private Task RedrawAsync(CancellationToken stop) => console
        .Live(new Text("Waiting for the first word of a station."))
        .Overflow(VerticalOverflow.Crop)
        .StartAsync(async live =>
        {
            using var beat = new PeriodicTimer(s_beat, time);
            do
            {
                if (board.All() is { Count: > 0 } all) live.UpdateTarget(TerminalScreen.Of(all, console.Profile.Width, console.Profile.Capabilities.Unicode));
            }
            while (await PlainView.NextAsync(beat, stop));
        });
}
