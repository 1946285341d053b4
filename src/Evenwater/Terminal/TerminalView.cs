using Evenwater.Page;
using Spectre.Console;

namespace Evenwater.Terminal;

/// <summary>
/// What <c>serve</c> shows: on a terminal a screen that is redrawn every second; anywhere else a plain line at every
/// change and every half minute.
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

    /// <summary>Shows until stopped.</summary>
    public Task RunAsync(CancellationToken stop) => console.Profile.Capabilities.Ansi ? RedrawAsync(stop) : TellAsync(stop);

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
            while (await NextAsync(beat, stop));
        });

    private async Task TellAsync(CancellationToken stop)
    {
        var lines = new PlainLines();
        using var beat = new PeriodicTimer(s_beat, time);
        do
        {
            var now = time.GetElapsedTime(0).TotalSeconds;
            foreach (var posted in board.All())
            {
                if (lines.Next(posted, now) is { } line) await console.Profile.Out.Writer.WriteLineAsync(line);
            }
        }
        while (await NextAsync(beat, stop));
    }

    private static async ValueTask<bool> NextAsync(PeriodicTimer beat, CancellationToken stop)
    {
        try
        {
            return await beat.WaitForNextTickAsync(stop);
        }
        catch (OperationCanceledException)
        {
            return false;
        }
    }
}
