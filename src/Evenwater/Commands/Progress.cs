using System.Diagnostics;

namespace Evenwater.Commands;

/// <summary>How far a long command is, on standard error, when that is a terminal; twice a second at most.</summary>
internal sealed class Progress(TextWriter error, bool terminal)
{
    private static readonly TimeSpan Every = TimeSpan.FromSeconds(0.5);

    private long _at = Stopwatch.GetTimestamp();
    private bool _told;

    public static Progress OnTerminal() => new(Console.Error, !Console.IsErrorRedirected);

    public void Tell(string text)
    {
        if (terminal && Stopwatch.GetElapsedTime(_at) >= Every)
        {
            error.Write($"\r{text} ");
            (_at, _told) = (Stopwatch.GetTimestamp(), true);
        }
    }

    /// <summary>The line is free for what is said next.</summary>
    public void End()
    {
        if (_told)
        {
            error.WriteLine();
        }
    }
}
