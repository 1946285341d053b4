namespace Evenwater.Core.Estimation;

/// <summary>
/// What one block of one conductivity probe says to every hypothesis. An outlier is used by nobody; a probe that nearly everybody
/// rejects for minutes although it is steady is believed again, because then the water has moved and not the probe.
/// </summary>
internal sealed class ProbeEvidence
{
    /// <summary>One odd block is a bubble; three in a row are news.</summary>
    private const int TroubleBlocks = 3;
    private const double Absurd = 0.2;

    /// <summary>The largest shift that a probe in water makes at once, as a fraction of its reading.</summary>
    private const double MostShift = 0.3;
    private readonly bool _isTank;
    private readonly double _floor;
    private int _rejectedBlocks;
    private bool _agreed;

    private static ReadOnlySpan<int> SeenOfVessel => [State.Mixed, State.Probe, State.Slow, State.LagShare, State.SlowShare, State.Wander, State.Tank, State.Touch];

    private static ReadOnlySpan<int> SeenOfTank => [State.Tank, State.LnGain];

    public ProbeEvidence(bool isTank)
    {
        _isTank = isTank;
        _floor = isTank ? Process.TankFloor : Process.VesselFloor;
    }

    /// <summary>Whether a good block was ever seen.</summary>
    public bool Seen { get; private set; }

    /// <summary>While the tank's own water changes its reading says nothing about the gains: they are considered, not updated (Schmidt 1966).</summary>
    public bool KeepGain { get; set; }

    /// <summary>How far fresh water has come to touch the probe, 0 to 1: it does so only while the drip runs, and not from one moment to the next.</summary>
    public double Touching { get; private set; }

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


        if (Seen && otherSeen && IsAbsurd(sum, block.Mean))
        {
            Reason = Reason.OutOfRange;
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
        if (!_agreed && rejecting > 0.98)
        {
            Begin(sum, block.Mean, noise); // the first may have been the odd one: the next decides
            return;
        }

        _agreed = true;
        _rejectedBlocks = rejecting > 0.98 ? _rejectedBlocks + 1 : 0;
        if (_rejectedBlocks >= TroubleBlocks)
        {
            Reason = Reason.Disagrees;
        }

        if (!_isTank && _rejectedBlocks == TroubleBlocks)
        {
            Births.OfShiftedProbe(sum, Math.Min(Math.Abs((block.Mean / Expected(sum)) - 1), MostShift));
        }
    }

    /// <summary>The drip ran, or did not, for a while.</summary>
    public void Pass(double seconds, double openFraction) =>
        Touching = openFraction + ((Touching - openFraction) * Math.Exp(-seconds / Process.TouchSeconds));

    /// <summary>As if no block had been seen yet.</summary>
    public void Forget()
    {
        Touching = 0;
        Seen = false;
        _agreed = false;
        _rejectedBlocks = 0;
        Reason = Reason.None;
    }

    /// <summary>Begins without a block of its own, from what else is known.</summary>
    public void Assume(GaussianSum sum, double value, double sd)
    {
        Seen = true;
        Begin(sum, value, sd * sd);
    }

    /// <summary>
    /// Conditions every hypothesis on the block. The vessel's probe also weighs them against each other; the tank's does not: what it reads is
    /// the same news for all of them, and those who doubt it must not lose by that.
    /// </summary>
    private double Update(GaussianSum sum, double measured, double noise)
    {
        Span<double> cross = stackalloc double[State.Size];
        Span<double> by = stackalloc double[8];
        var seen = _isTank ? SeenOfTank : SeenOfVessel;
        var sight = new Sight(seen, by[..seen.Length]);
        var rejecting = 0.0;
        var total = 0.0;
        var likelihood = 0.0;
        for (var i = 0; i < sum.Count; i++)
        {
            var h = sum[i];
            if (Doubts(h))
            {
                continue;
            }

            var weight = Math.Exp(h.LogWeight);
            total += weight;
            var innovation = measured - Expect(h, by);
            var spread = h.Spread(sight, cross) + noise;
            var outlier = Process.Outlier / measured;
            var rejects = innovation * innovation > Process.GateSd * Process.GateSd * spread;
            rejecting += rejects ? weight : 0;
            if (!_isTank)
            {
                var density = rejects ? 0 : Math.Exp(-0.5 * innovation * innovation / spread) / Math.Sqrt(2 * Math.PI * spread);
                h.LogWeight += Math.Log(((1 - Process.Outlier) * density) + outlier);
                likelihood += weight * (((1 - Process.Outlier) * density) + outlier);
            }

            if (rejects)
            {
                continue;
            }

            var (gain, variance) = (h.Mean[State.LnGain], h.Variance(State.LnGain));
            h.Shrink(cross, innovation / spread, 1 / spread);
            if (KeepGain)
            {
                h.Mean[State.LnGain] = gain;
                h.Covariance[(State.LnGain * State.Size) + State.LnGain] = variance;
            }
        }

        // Those who do not listen neither gain nor lose by what they do not hear.
        for (var i = 0; i < sum.Count && !_isTank && total > 0; i++)
        {
            sum[i].LogWeight += sum[i].DoubtsVessel ? Math.Log(likelihood / total) : 0;
        }

        sum.Normalise();
        return total > 0 ? rejecting / total : 0;
    }

    private bool Doubts(Hypothesis h) => _isTank ? h.DoubtsTank : h.DoubtsVessel;

    /// <summary>What the hypothesis expects to be read, and how that depends on the components seen.</summary>
    private double Expect(Hypothesis h, Span<double> by)
    {
        var x = h.Mean;
        if (_isTank)
        {
            var gain = Math.Exp(x[State.LnGain]);
            (by[0], by[1]) = (gain, gain * x[State.Tank]);
            return gain * x[State.Tank];
        }

        var behind = x[State.Mixed] - x[State.Probe];
        var ahead = x[State.Mixed] - x[State.Slow];
        var touch = Touching * x[State.Touch];
        var fresher = x[State.Tank] - x[State.Mixed];
        (by[0], by[1], by[2]) = (1 - x[State.LagShare] + x[State.SlowShare] - touch, x[State.LagShare], -x[State.SlowShare]);
        (by[3], by[4], by[5], by[6], by[7]) = (-behind, ahead, 1, touch, Touching * fresher);
        return x[State.Mixed] - (x[State.LagShare] * behind) + (x[State.SlowShare] * ahead) + (touch * fresher) + x[State.Wander];
    }

    /// <summary>What is expected to be read, by all together.</summary>
    private double Expected(GaussianSum sum)
    {
        Span<double> by = stackalloc double[8];
        var expected = 0.0;
        for (var i = 0; i < sum.Count; i++)
        {
            expected += sum.Weight(i) * Expect(sum[i], by);
        }

        return expected;
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
            h.Set(State.Slow, measured, 0);
            h.Share(State.Slow, State.Mixed, 1);
        }
    }

    /// <summary>Five times as much or little as expected, from one half minute to the next: a probe in the air, a salt spoon, no water.</summary>
    private bool IsAbsurd(GaussianSum sum, double measured)
    {
        var expected = sum.Mean(_isTank ? State.Tank : State.Probe);
        return measured < Absurd * expected || measured > expected / Absurd;
    }

    private bool Plausible(GaussianSum sum, double measured)
    {
        var expected = sum.Mean(_isTank ? State.Tank : State.Probe);
        return measured > 0.3 * expected && measured < 3 * expected;
    }

    private void Relock(GaussianSum sum, double measured)
    {
        Span<double> by = stackalloc double[8];
        for (var i = 0; i < sum.Count; i++)
        {
            var h = sum[i];
            if (Doubts(h))
            {
                continue;
            }

            var innovation = measured - Expect(h, by);
            h.Widen(_isTank ? State.Tank : State.Mixed, innovation * innovation);
            if (!_isTank)
            {
                h.Share(State.Probe, State.Mixed, 1);
                h.Share(State.Slow, State.Mixed, 1);
            }
        }
    }
}
