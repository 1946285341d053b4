namespace Evenwater.Core.Estimation;

/// <summary>What a measurement sees of the state: some components, each times a sensitivity.</summary>
internal readonly ref struct Sight(ReadOnlySpan<int> at, ReadOnlySpan<double> by)
{
    public readonly ReadOnlySpan<int> At = at;

    public readonly ReadOnlySpan<double> By = by;
}
