namespace Evenwater.Core.Estimation;

/// <summary>
/// A drop counter: it sees the flow, but a drop's size is known to a tenth only, and above a few drops a second they run together
/// and too few are counted. Counts over a few minutes, so that whole drops do not matter.
/// </summary>
internal struct DropEvidence
{
    private const double WindowSeconds = 120;
    private const int FewestDrops = 8;
    private double _drops;
    private double _seconds;
    private double _open;
    private bool _any;
    private bool _blind;
    private bool _begun;
    private MonotonicTime _lastTaken;

    /// <summary>Begins again with the next block.</summary>
    public void Restart() => _begun = false;

    public void Add(in Readings readings)
    {
        var reading = readings[Channel.Drops];
        if (reading.Reason is not (Reason.None or Reason.NotFitted))
        {
            (_blind, _any) = (true, false);
            return;
        }

        if (!reading.TryGet(out var drops) || (_any && reading.TakenAt == _lastTaken))
        {
            return;
        }

        // The first count may hold drops from before the run.
        _drops += _any && drops >= 0 ? drops : 0;
        _any = true;
        _lastTaken = reading.TakenAt;
    }

    /// <summary>What was counted across a gap belongs to a time nobody watched.</summary>
    public void AfterGap()
    {
        _any = false;
        (_blind, _drops, _seconds, _open) = (false, 0, 0, 0);
    }

    public void Apply(GaussianSum sum, Prior prior, double seconds, double openFraction)
    {
        if (_blind)
        {
            (_blind, _drops, _seconds, _open) = (false, 0, 0, 0); // what was counted of a stretch in part is no slower drip: it begins anew behind this block
            return;
        }

        _seconds += seconds;
        _open += seconds * openFraction;
        if (_seconds < WindowSeconds || !_any)
        {
            return;
        }

        var (drops, counted, open) = (_drops, _seconds, _open);
        (_drops, _seconds, _open) = (0, 0, 0);
        var wholly = open >= counted - 1;
        if (!(wholly || open == 0) || drops < FewestDrops || drops / counted > Process.FastestDrops)
        {
            return;
        }

        if (!_begun)
        {
            _begun = true;
            for (var i = 0; i < sum.Count; i++)
            {
                sum[i].Set(State.LnDrop, 0, prior.DropRelativeSd * prior.DropRelativeSd);
            }
        }

        See(sum, Math.Log(drops / counted * 60 * prior.DropMillilitres), (Process.DropFloor * Process.DropFloor) + (0.25 / drops / drops), wholly);
    }

    private static void See(GaussianSum sum, double lnFlow, double noise, bool open)
    {
        Span<double> cross = stackalloc double[State.Size];
        for (var i = 0; i < sum.Count; i++)
        {
            var h = sum[i];
            var outlier = 0.01;
            if (!open && !h.Leaks)
            {
                h.LogWeight += Math.Log(outlier);
                continue;
            }

            var innovation = lnFlow + h.Mean[State.LnDrop] - h.Mean[State.LnFlow] - (open ? 0 : Math.Log(h.LeakFraction));
            var spread = h.Spread(new Sight([State.LnFlow, State.LnDrop], [1, -1]), cross) + noise;
            if (innovation * innovation > 16 * spread)
            {
                h.LogWeight += Math.Log(outlier);
                continue;
            }

            var density = Math.Exp(-0.5 * innovation * innovation / spread) / Math.Sqrt(2 * Math.PI * spread);
            h.LogWeight += Math.Log((0.98 * density) + (0.02 * outlier));
            h.Shrink(cross, innovation / spread, 1 / spread);
        }

        sum.Normalise();
    }
}
