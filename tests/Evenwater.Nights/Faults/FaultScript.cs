using System.Globalization;
using Evenwater.Hardware.Rig;

namespace Evenwater.Nights.Faults;

/// <summary>
/// What goes wrong in the nights of one row: faults of the rig with the moments at which they may start, one or more at once, and perhaps
/// alternatives that take turns from night to night. `float-cut@1h-4h power-cut@5h-7h`, `slow-clog or sudden-clog`.
/// </summary>
internal sealed class FaultScript
{
    /// <summary>When a fault may start if the script does not say, h: the run has begun, and the intake may not yet have ended the drip.</summary>
    private const double EarliestHours = 1.0 / 60;
    private const double LatestHours = 8;

    private readonly Part[][] _alternatives;

    private FaultScript(Part[][] alternatives) => _alternatives = alternatives;

    /// <summary>One fault and when it may start, h.</summary>
    private sealed record Part(FaultKind Kind, double From, double To);

    /// <summary>How many alternatives take turns.</summary>
    public int Alternatives => _alternatives.Length;

    /// <exception cref="FormatException">There is no such fault or time.</exception>
    public static FaultScript Parse(string text) => text.Length == 0
        ? throw new FormatException("neither rehearsed nor \"not: \" and a reason")
        : new FaultScript([.. text.Split(" or ").Select(one => one.Split(' ').Select(Word).ToArray())]);

    /// <summary>Two scripts in one night.</summary>
    public static FaultScript Both(FaultScript first, FaultScript second) =>
        new([.. first._alternatives.SelectMany(a => second._alternatives.Select(b => a.Concat(b).ToArray()))]);

    /// <summary>The faults of one night, their moments drawn by its seed.</summary>
    /// <param name="seed">Chooses them.</param>
    /// <param name="turn">Chooses among the alternatives.</param>
    /// <param name="pace">Nights that go so many times as fast have their faults so many times sooner.</param>
    public RigFault[] Draw(ulong seed, int turn, double pace = 1)
    {
        var random = new Random((int)seed);
        return [.. _alternatives[turn % _alternatives.Length].Select(part =>
            new RigFault(part.Kind, Math.Round((part.From + ((part.To - part.From) * random.NextDouble())) * 3600 / pace)))];
    }

    private static Part Word(string word)
    {
        var at = word.IndexOf('@', StringComparison.Ordinal);
        var dash = at < 0 ? -1 : word.IndexOf('-', at);
        if (at < 0)
        {
            return new Part(RigFault.Parse(word).Kind, EarliestHours, LatestHours);
        }

        var from = RigFault.Parse(dash < 0 ? word : word[..dash]);
        var to = dash < 0 ? from : RigFault.Parse(string.Create(CultureInfo.InvariantCulture, $"{word[..at]}@{word[(dash + 1)..]}"));
        return from.AtSeconds <= to.AtSeconds
            ? new Part(from.Kind, from.AtSeconds / 3600, to.AtSeconds / 3600)
            : throw new FormatException($"\"{word}\" ends before it begins");
    }
}
