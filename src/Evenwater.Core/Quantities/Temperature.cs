namespace Evenwater.Core.Quantities;

/// <summary>Temperature of water or of a room.</summary>
public readonly record struct Temperature
{
    /// <summary>Lowest value accepted, °C: an unheated room in winter.</summary>
    public const double MinCelsius = -20;

    /// <summary>Highest value accepted, °C.</summary>
    public const double MaxCelsius = 60;

    private Temperature(double celsius) => Celsius = celsius;

    /// <summary>°C.</summary>
    public double Celsius { get; }

    /// <summary>From -20 to 60 °C.</summary>
    public static Temperature FromCelsius(double celsius) => new(Bounds.Check(celsius, MinCelsius, MaxCelsius, "°C"));

    /// <inheritdoc/>
    public override string ToString() => $"{Celsius:0.0#} °C";
}
