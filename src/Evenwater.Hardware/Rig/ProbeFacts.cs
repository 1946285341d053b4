namespace Evenwater.Hardware.Rig;

/// <summary>One conductivity probe as it really is.</summary>
internal sealed record ProbeFacts
{
    public double Gain { get; init; } = 1;

    /// <summary>What the front end adds to every reading, V; found by two standards.</summary>
    public double OffsetVolts { get; init; }

    /// <summary>Lag of the cell behind the water around it, s.</summary>
    public double LagSeconds { get; init; } = 20;

    /// <summary>White noise of one reading, relative, 1-sigma.</summary>
    public double Noise { get; init; } = 0.004;

    /// <summary>Slow wander, relative, 1-sigma.</summary>
    public double Wander { get; init; } = 0.0012;

    public double WanderSeconds { get; init; } = 1200;
}
