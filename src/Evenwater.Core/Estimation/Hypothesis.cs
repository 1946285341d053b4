namespace Evenwater.Core.Estimation;

/// <summary>Positions in a hypothesis's state. Conductivities are in the units of the vessel's probe. The first six are what a forecast starts from.</summary>
internal static class State
{
    /// <summary>ln of the vessel's volume in L.</summary>
    public const int LnVolume = 0;

    /// <summary>ln of the open flow in mL/min, at the present level.</summary>
    public const int LnFlow = 1;

    /// <summary>Steady drift of ln flow per hour: what clogs, what comes loose.</summary>
    public const int Drift = 2;

    /// <summary>How much of the flow is lost as the water rises by one brim: the head falls.</summary>
    public const int Head = 3;

    /// <summary>Mixed vessel, µS/cm.</summary>
    public const int Mixed = 4;

    /// <summary>Tank, µS/cm.</summary>
    public const int Tank = 5;

    /// <summary>How many of them a forecast needs.</summary>
    public const int Future = 6;

    /// <summary>What the vessel's probe feels of the mixed water, µS/cm.</summary>
    public const int Probe = 6;

    /// <summary>ln of (tank probe's gain / vessel probe's gain).</summary>
    public const int LnGain = 7;

    /// <summary>Slow wander of the vessel's probe, µS/cm.</summary>
    public const int Wander = 8;

    /// <summary>How many times the usual lag the vessel's probe is behind the mixed water: less than 0 when the drip touches it first.</summary>
    public const int LagShare = 9;

    /// <summary>What the mixed water was a while ago, µS/cm: corners that exchange slowly still hold it.</summary>
    public const int Slow = 10;

    /// <summary>Share of the vessel that exchanges slowly: so far the probe in the stirred part runs ahead of the whole.</summary>
    public const int SlowShare = 11;

    /// <summary>The vessel's temperature, °C.</summary>
    public const int Warmth = 12;

    /// <summary>ln of how fast the vessel takes on the room's temperature, per hour.</summary>
    public const int LnExchange = 13;

    /// <summary>The temperature the vessel would take without any drip, °C: the room less what evaporation cools.</summary>
    public const int Surroundings = 14;

    /// <summary>How many of them every station has.</summary>
    public const int Usual = 15;

    /// <summary>Error of the load cell's zero, kg.</summary>
    public const int Tare = 15;

    /// <summary>Error of the level sensor's zero, mm.</summary>
    public const int LevelOffset = 16;

    /// <summary>ln of (true / nominal volume of a drop).</summary>
    public const int LnDrop = 17;

    /// <summary>Length of the state with every sensor fitted.</summary>
    public const int Size = 18;
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

    /// <summary>How many components are in use: more with more sensors.</summary>
    public int Active = State.Usual;

    /// <summary>Whether it believes that the closed valve leaks.</summary>
    public bool Leaks => LeakFraction > 0;

    /// <summary>Whether it holds that the tank's probe and not the tank has changed, and listens to that probe no more.</summary>
    public bool DoubtsTank;

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
        other.Active = Active;
        other.LogWeight = LogWeight;
        other.DoubtsTank = DoubtsTank;
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

/// <summary>What a measurement sees of the state: some components, each times a sensitivity.</summary>
internal readonly ref struct Sight(ReadOnlySpan<int> at, ReadOnlySpan<double> by)
{
    public readonly ReadOnlySpan<int> At = at;

    public readonly ReadOnlySpan<double> By = by;
}
