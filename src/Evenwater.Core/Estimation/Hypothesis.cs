namespace Evenwater.Core.Estimation;

/// <summary>Positions in a hypothesis's state. Conductivities are in the units of the vessel's probe.</summary>
internal static class State
{
    /// <summary>ln of the vessel's volume in L.</summary>
    public const int LnVolume = 0;

    /// <summary>ln of the open flow in mL/min.</summary>
    public const int LnFlow = 1;

    /// <summary>Drift of ln flow per hour.</summary>
    public const int Drift = 2;

    /// <summary>Mixed vessel, µS/cm.</summary>
    public const int Mixed = 3;

    /// <summary>What the vessel's probe feels of it, µS/cm.</summary>
    public const int Probe = 4;

    /// <summary>Tank, µS/cm.</summary>
    public const int Tank = 5;

    /// <summary>ln of (tank probe's gain / vessel probe's gain).</summary>
    public const int LnGain = 6;

    /// <summary>Slow wander of the vessel's probe, µS/cm.</summary>
    public const int Wander = 7;

    /// <summary>Length of the state.</summary>
    public const int Size = 8;
}

/// <summary>One Gaussian over the state, with the discrete choices it stands for.</summary>
internal sealed class Hypothesis
{
    public readonly double[] Mean = new double[State.Size];
    public readonly double[] Covariance = new double[State.Size * State.Size];

    /// <summary>ln of its weight, not normalised.</summary>
    public double LogWeight;

    /// <summary>Whether its drip clogs steadily.</summary>
    public bool Clogs;

    /// <summary>Fraction of the flow that passes the closed valve.</summary>
    public double LeakFraction;

    /// <summary>Whether it believes that the closed valve leaks.</summary>
    public bool Leaks => LeakFraction > 0;

    /// <summary>Whether the water has reached the standpipe.</summary>
    public bool Overflowing;

    public double Variance(int i) => Covariance[(i * State.Size) + i];

    public double Sd(int i) => Math.Sqrt(Variance(i));

    /// <summary>Adds to one variance.</summary>
    public void Widen(int i, double variance) => Covariance[(i * State.Size) + i] += variance;

    /// <summary>Makes one component independent of the rest.</summary>
    public void Set(int i, double mean, double variance)
    {
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

    public bool IsSound()
    {
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
        other.LogWeight = LogWeight;
        other.Clogs = Clogs;
        other.LeakFraction = LeakFraction;
        other.Overflowing = Overflowing;
    }

    /// <summary>
    /// Conditions on a scalar measurement that sees the state through <paramref name="row"/>: the usual Kalman update.
    /// </summary>
    /// <param name="row">Sensitivities.</param>
    /// <param name="innovation">Measured minus expected.</param>
    /// <param name="noise">Variance of the measurement.</param>
    public void Update(ReadOnlySpan<double> row, double innovation, double noise)
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
        for (var i = 0; i < State.Size; i++)
        {
            Mean[i] += cross[i] * shift;
            for (var j = 0; j < State.Size; j++)
            {
                Covariance[(i * State.Size) + j] -= cross[i] * cross[j] * gain;
            }
        }
    }

    /// <summary>Variance of what <paramref name="row"/> sees, and its covariance with each component.</summary>
    public double Spread(ReadOnlySpan<double> row, Span<double> cross)
    {
        var variance = 0.0;
        for (var i = 0; i < State.Size; i++)
        {
            var sum = 0.0;
            for (var j = 0; j < State.Size; j++)
            {
                sum += Covariance[(i * State.Size) + j] * row[j];
            }

            cross[i] = sum;
            variance += row[i] * sum;
        }

        return variance;
    }
}
