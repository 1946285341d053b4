namespace Evenwater.Core.Estimation;

/// <summary>
/// What one block of one conductivity probe says to every hypothesis. An outlier is used by nobody; a probe that nearly everybody
/// rejects for minutes although it is steady is believed again, because then the water has moved and not the probe.
/// </summary>
internal sealed class ProbeEvidence
{
    private readonly bool _isTank;
    private readonly double _floor;
    private int _rejectedBlocks;

    public ProbeEvidence(bool isTank)
    {
        _isTank = isTank;
        _floor = isTank ? Process.TankFloor : Process.VesselFloor;
    }

    /// <summary>Whether a good block was ever seen.</summary>
    public bool Seen { get; private set; }

    /// <summary>Why the latest block was not used, or <see cref="Reason.None"/>.</summary>
    public Reason Reason { get; private set; }

    /// <summary>Conditions <paramref name="sum"/> on a block.</summary>
    /// <param name="sum">The estimate.</param>
    /// <param name="block">The block.</param>
    /// <param name="otherSeen">Whether the other probe was ever seen: until then the mixing of the two waters cannot be followed,
    /// and every block begins anew.</param>
    public void Apply(GaussianSum sum, in Block block, bool otherSeen)
    {
        Reason = block.Reason;
        if (!block.IsGood)
        {
            return;
        }

        var noise = block.Variance + (_floor * block.Mean * _floor * block.Mean);
        if (!Seen || !otherSeen)
        {
            Seen = true;
            Begin(sum, block.Mean, noise);
            return;
        }

        if (_rejectedBlocks >= Process.RelockBlocks && Plausible(sum, block.Mean))
        {
            Relock(sum, block.Mean);
        }

        var rejecting = Update(sum, block.Mean, noise);
        _rejectedBlocks = rejecting > 0.98 ? _rejectedBlocks + 1 : 0;
        if (_rejectedBlocks > 0)
        {
            Reason = Reason.Disagrees;
        }
    }

    public void CopyTo(ProbeEvidence other)
    {
        other._rejectedBlocks = _rejectedBlocks;
        other.Seen = Seen;
        other.Reason = Reason;
    }

    private double Update(GaussianSum sum, double measured, double noise)
    {
        Span<double> row = stackalloc double[State.Size];
        Span<double> cross = stackalloc double[State.Size];
        var rejecting = 0.0;
        var total = 0.0;
        for (var i = 0; i < sum.Count; i++)
        {
            var h = sum[i];
            var weight = Math.Exp(h.LogWeight);
            total += weight;
            var innovation = measured - Expect(h, row);
            var spread = h.Spread(row, cross) + noise;
            var outlier = Process.Outlier / measured;
            if (innovation * innovation > Process.GateSd * Process.GateSd * spread)
            {
                rejecting += weight;
                h.LogWeight += Math.Log(outlier);
                continue;
            }

            var density = Math.Exp(-0.5 * innovation * innovation / spread) / Math.Sqrt(2 * Math.PI * spread);
            h.LogWeight += Math.Log(((1 - Process.Outlier) * density) + outlier);
            h.Shrink(cross, innovation / spread, 1 / spread);
        }

        sum.Normalise();
        return rejecting / total;
    }

    private double Expect(Hypothesis h, Span<double> row)
    {
        row.Clear();
        if (!_isTank)
        {
            row[State.Probe] = 1;
            row[State.Wander] = 1;
            return h.Mean[State.Probe] + h.Mean[State.Wander];
        }

        var gain = Math.Exp(h.Mean[State.LnGain]);
        row[State.Tank] = gain;
        row[State.LnGain] = gain * h.Mean[State.Tank];
        return gain * h.Mean[State.Tank];
    }

    private void Begin(GaussianSum sum, double measured, double noise)
    {
        for (var i = 0; i < sum.Count; i++)
        {
            var h = sum[i];
            if (_isTank)
            {
                var gain = Math.Exp(-h.Mean[State.LnGain]);
                h.Set(State.Tank, measured * gain, noise);
                h.Share(State.Tank, State.LnGain, -measured * gain);
                continue;
            }

            h.Set(State.Mixed, measured, noise);
            h.Set(State.Probe, measured, 0);
            h.Share(State.Probe, State.Mixed, 1);
        }
    }

    private bool Plausible(GaussianSum sum, double measured)
    {
        var expected = sum.Mean(_isTank ? State.Tank : State.Probe);
        return measured > 0.3 * expected && measured < 3 * expected;
    }

    private void Relock(GaussianSum sum, double measured)
    {
        Span<double> row = stackalloc double[State.Size];
        for (var i = 0; i < sum.Count; i++)
        {
            var h = sum[i];
            var innovation = measured - Expect(h, row);
            h.Widen(_isTank ? State.Tank : State.Mixed, innovation * innovation);
            if (!_isTank)
            {
                h.Share(State.Probe, State.Mixed, 1);
            }
        }
    }
}
