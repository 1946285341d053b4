using Evenwater.Page;

namespace Evenwater.Terminal;

/// <summary>What <c>serve</c> shows where there is no terminal: a plain line at every change and every half minute.</summary>
internal sealed class PlainView(StationBoard board, TextWriter output, TimeProvider time)
{
    /// <summary>Shows until stopped.</summary>
    public async Task RunAsync(CancellationToken stop)
    {
        var lines = new PlainLines();
        using var beat = new PeriodicTimer(TimeSpan.FromSeconds(1), time);
        do
        {
            var now = time.GetElapsedTime(0).TotalSeconds;
            foreach (var posted in board.All())
            {
                if (lines.Next(posted, now) is { } line) await output.WriteLineAsync(line);
            }
        }
        while (await NextAsync(beat, stop));
    }

    /// <summary>Whether there is a next beat, and it has come; false when it was stopped.</summary>
    public static async ValueTask<bool> NextAsync(PeriodicTimer beat, CancellationToken stop)
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
