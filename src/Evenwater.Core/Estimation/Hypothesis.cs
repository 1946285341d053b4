namespace Evenwater.Core.Estimation;

/// <summary>One Gaussian over the state, with the discrete choices it stands for.</summary>
internal sealed class Hypothesis
{
    /// <summary>In ln: from a millionth of a drop to a lake.</summary>
    private const double Farthest = 25;

    /// <summary>sd of ln volume, twenty times as much or little: beyond it a straight line through a logarithm tells nothing, and its sums overflow.</summary>
    private const double LeastSure = 3;

    public readonly double[] Mean = new double[State.Size];
    public readonly double[] Covariance = new double[State.Size * State.Size];

    /// <summary>ln of its weight, not normalised.</summary>
    public double LogWeight;

    /// <summary>Whether its drip clogs steadily.</summary>
    public bool Clogs;

    /// <summary>Fraction of the flow that passes the closed valve.</summary>
    public double LeakFraction;

    /// <summary>How many components are in use: more with more sensors.</summary>
    public int Active = State.Usual;

    /// <summary>Whether it believes that the closed valve leaks.</summary>
    public bool Leaks => LeakFraction > 0;

    /// <summary>Whether it holds that the tank's probe and not the tank has changed, and listens to that probe no more.</summary>
    public bool DoubtsTank;

    /// <summary>
    /// Whether it holds that the vessel's probe has begun to drift, and listens to it no more: the water goes on as it was known until then.
    /// </summary>
    public bool DoubtsVessel;

    /// <summary>Whether the water has reached the standpipe.</summary>
    public bool Overflowing;

    public double Variance(int i) => Covariance[(i * State.Size) + i];

    public double Sd(int i) => Math.Sqrt(Variance(i));

    /// <summary>Adds to one variance.</summary>
    public void Widen(int i, double variance) => Covariance[(i * State.Size) + i] += variance;

    /// <summary>Makes one component independent of the rest.</summary>
    public void Set(int i, double mean, double variance)
    {
        Active = Math.Max(Active, i + 1);
        Mean[i] = mean;
        for (var j = 0; j < State.Size; j++)
        {
            Covariance[(i * State.Size) + j] = 0;
            Covariance[(j * State.Size) + i] = 0;
        }

        Covariance[(i * State.Size) + i] = variance;
    }

    /// <summary>Makes component <paramref name="i"/> vary with component <paramref name="j"/>: x_i += slope (x_j - its mean).</summary>
    public void Share(int i, int j, double slope)
    {
        for (var k = 0; k < State.Size; k++)
        {
            Covariance[(i * State.Size) + k] += slope * Covariance[(j * State.Size) + k];
        }

        for (var k = 0; k < State.Size; k++)
        {
            Covariance[(k * State.Size) + i] += slope * Covariance[(k * State.Size) + j];
        }
    }

    /// <summary>Stretches one component about its mean.</summary>
    public void Scale(int i, double factor)
    {
        for (var k = 0; k < State.Size; k++)
        {
            Covariance[(i * State.Size) + k] *= factor;
            Covariance[(k * State.Size) + i] *= factor;
        }
    }

    /// <summary>
    /// The vessel's probe may have another gain than it had, unknown by this variance of its ln. In its units every water changes with it, and the ratio of the two gains the other way:
    /// one common cause, so the doubt goes along one direction of the state.
    /// </summary>
    public void ShiftVesselProbe(double variance)
    {
        Span<int> at = [State.Mixed, State.Tank, State.Probe, State.Slow, State.LnGain];
        Span<double> by = [Mean[State.Mixed], Mean[State.Tank], Mean[State.Probe], Mean[State.Slow], -1];
        for (var i = 0; i < at.Length; i++)
        {
            for (var j = 0; j < at.Length; j++)
            {
                Covariance[(at[i] * State.Size) + at[j]] += variance * by[i] * by[j];
            }
        }
    }

    /// <summary>Takes back a doubt beyond all vessels: what was drawn off, or went to the air, was more than it held to be there.</summary>
    public void BoundDoubt()
    {
        var sd = Sd(State.LnVolume);
        if (sd > LeastSure)
        {
            Scale(State.LnVolume, LeastSure / sd);
        }
    }

    /// <summary>Whether it is of numbers, and of a vessel and a drip that could be: absurd rows may throw a linear update anywhere.</summary>
    public bool IsSound()
    {
        if (!(Math.Abs(Mean[State.LnVolume]) < Farthest && Math.Abs(Mean[State.LnFlow]) < Farthest))
        {
            return false;
        }

        for (var i = 0; i < State.Size; i++)
        {
            if (!double.IsFinite(Mean[i]) || !(Variance(i) >= 0) || !double.IsFinite(Variance(i)))
            {
                return false;
            }
        }

        return !double.IsNaN(LogWeight);
    }

    public void CopyTo(Hypothesis other)
    {
        Mean.AsSpan().CopyTo(other.Mean);
        Covariance.AsSpan().CopyTo(other.Covariance);
        other.Active = Active;
        other.LogWeight = LogWeight;
        other.DoubtsTank = DoubtsTank;
        other.DoubtsVessel = DoubtsVessel;
        other.Clogs = Clogs;
        other.LeakFraction = LeakFraction;
        other.Overflowing = Overflowing;
    }

    /// <summary>Conditions on a scalar measurement that sees the state through <paramref name="row"/>: the usual Kalman update.</summary>
    /// <param name="row">Sensitivities.</param>
    /// <param name="innovation">Measured minus expected.</param>
    /// <param name="noise">Variance of the measurement.</param>
    public void Update(in Sight row, double innovation, double noise)
    {
        Span<double> cross = stackalloc double[State.Size];
        var total = Spread(row, cross) + noise;
        Shrink(cross, innovation / total, 1 / total);
    }

    /// <summary>
    /// Moves the mean by <paramref name="cross"/> times <paramref name="shift"/> and takes
    /// cross crossᵀ times <paramref name="gain"/> out of the covariance.
    /// </summary>
    public void Shrink(ReadOnlySpan<double> cross, double shift, double gain)
    {
        var mean = Mean.AsSpan(0, Active);
        cross = cross[..Active];
        for (var i = 0; i < mean.Length; i++)
        {
            var c = cross[i];
            if (c == 0)
            {
                continue;
            }

            mean[i] += c * shift;
            var scaled = c * gain;
            var line = Covariance.AsSpan(i * State.Size, cross.Length);
            for (var j = 0; j < line.Length; j++)
            {
                line[j] -= scaled * cross[j];
            }
        }
    }

    /// <summary>Variance of what <paramref name="row"/> sees, and its covariance with each component.</summary>
    public double Spread(in Sight row, Span<double> cross)
    {
        cross = cross[..State.Size];
        cross.Clear();
        for (var k = 0; k < row.At.Length; k++)
        {
            var line = Covariance.AsSpan(row.At[k] * State.Size, Active);
            var by = row.By[k];
            for (var i = 0; i < line.Length; i++)
            {
                cross[i] += by * line[i];
            }
        }

        var variance = 0.0;
        for (var k = 0; k < row.At.Length; k++)
        {
            variance += row.By[k] * cross[row.At[k]];
        }

        return variance;
    }
}
