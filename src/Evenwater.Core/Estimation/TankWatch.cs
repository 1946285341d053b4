namespace Evenwater.Core.Estimation;

/// <summary>
/// Notices that the tank's own water is changing, so that the estimate follows the water instead of blaming the probes' gain.
/// Compares a quick average with a slow one.
/// </summary>
internal struct TankWatch
{
    private const double QuickSeconds = 4 * 60;
    private const double SlowSeconds = 30 * 60;
    private const double Threshold = 0.006;
    private double _quick;
    private double _slow;
    private double _seconds;

    /// <summary>Whether it is changing.</summary>
    public bool Changing { get; private set; }

    /// <summary>Takes a block and lets the tank's value loose while it is changing.</summary>
    public void Watch(GaussianSum sum, in Block block, double seconds)
    {
        if (!block.IsGood)
        {
            return;
        }

        _seconds += seconds;
        _quick += (block.Mean - _quick) * Math.Max(seconds / _seconds, 1 - Math.Exp(-seconds / QuickSeconds));
        _slow += (block.Mean - _slow) * Math.Max(seconds / _seconds, 1 - Math.Exp(-seconds / SlowSeconds));
        var apart = Math.Abs(_quick - _slow);
        var noise = 4 * Math.Sqrt(block.Variance * seconds / QuickSeconds);
        var before = Changing;
        Changing = apart > Math.Max(Threshold * _slow, noise);
        if (!Changing)
        {
            return;
        }

        if (!before)
        {
            Births.OfDoubt(sum);
        }

        for (var i = 0; i < sum.Count; i++)
        {
            if (!sum[i].DoubtsTank)
            {
                sum[i].Widen(State.Tank, 2.25 * apart * apart);
            }
        }
    }
}
