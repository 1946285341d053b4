namespace Evenwater.Hardware.Rig;

/// <summary>One thermometer as it really is.</summary>
internal sealed record ThermometerFacts
{
    public double OffsetCelsius { get; init; }

    public double LagSeconds { get; init; } = 30;

    public double NoiseCelsius { get; init; } = 0.02;
}
