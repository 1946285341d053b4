using Evenwater.Core.Stations;

namespace Evenwater.CoreTests.Stations;

/// <summary>A station as one case of a table, shown by its number instead of by all its values.</summary>
public sealed class Case
{
    private static int _made;

    private readonly int _number = Interlocked.Increment(ref _made);

    private Case(Station station) => Station = station;

    public Station Station { get; }

    public static implicit operator Case(Station station) => new(station);

    public override string ToString() => $"case {_number}";
}
