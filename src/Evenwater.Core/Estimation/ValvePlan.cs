namespace Evenwater.Core.Estimation;

/// <summary>The planned positions of the valve, by time since the start of the run; open unless commanded otherwise.</summary>
internal sealed class ValvePlan
{
    private readonly double[] _at;
    private readonly bool[] _open;

    public ValvePlan(IReadOnlyList<ValveCommand> commands)
    {
        var sorted = commands.OrderBy(c => c.AtSeconds).ToArray();
        _at = Array.ConvertAll(sorted, c => c.AtSeconds);
        _open = Array.ConvertAll(sorted, c => c.Open);
    }

    /// <summary>Whether it is to be open at <paramref name="seconds"/>.</summary>
    public bool IsOpenAt(double seconds)
    {
        var open = true;
        for (var i = 0; i < _at.Length && _at[i] <= seconds; i++)
        {
            open = _open[i];
        }

        return open;
    }

    /// <summary>When it next changes after <paramref name="seconds"/>; infinite when never.</summary>
    public double NextChangeAfter(double seconds)
    {
        foreach (var at in _at)
        {
            if (at > seconds)
            {
                return at;
            }
        }

        return double.PositiveInfinity;
    }

    /// <summary>Seconds of the next <paramref name="seconds"/> from <paramref name="from"/> on that are planned open.</summary>
    public double OpenSeconds(double from, double seconds)
    {
        var end = from + seconds;
        var open = 0.0;
        while (from < end)
        {
            var next = Math.Min(NextChangeAfter(from), end);
            open += IsOpenAt(from) ? next - from : 0;
            from = next;
        }

        return open;
    }
}
