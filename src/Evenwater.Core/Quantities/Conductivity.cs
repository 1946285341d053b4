namespace Evenwater.Core.Quantities;

/// <summary>Electrical conductivity of water, referred to 25 °C unless said otherwise.</summary>
public readonly record struct Conductivity
{
    /// <summary>Largest value accepted, µS/cm: a warm brine of three times sea water's strength, beyond any vessel with animals in it.</summary>
    public const double MaxMicrosiemensPerCm = 200_000;

    private const double MicrosiemensPerCmInMillisiemensPerCm = 1000;
    private const double MicrosiemensPerCmInSiemensPerMetre = 10_000;

    private Conductivity(double microsiemensPerCm) => MicrosiemensPerCm = microsiemensPerCm;

    /// <summary>µS/cm.</summary>
    public double MicrosiemensPerCm { get; }

    /// <summary>mS/cm.</summary>
    public double MillisiemensPerCm => MicrosiemensPerCm / MicrosiemensPerCmInMillisiemensPerCm;

    /// <summary>S/m, the unit of the SI and of SenML (RFC 8428).</summary>
    public double SiemensPerMetre => MicrosiemensPerCm / MicrosiemensPerCmInSiemensPerMetre;

    /// <summary>From 0 to 200 000 µS/cm.</summary>
    public static Conductivity FromMicrosiemensPerCm(double microsiemensPerCm)
        => new(Bounds.Check(microsiemensPerCm, 0, MaxMicrosiemensPerCm, "µS/cm"));

    /// <summary>From 0 to 200 mS/cm.</summary>
    public static Conductivity FromMillisiemensPerCm(double millisiemensPerCm)
        => new(Bounds.Check(millisiemensPerCm, 0, MaxMicrosiemensPerCm / MicrosiemensPerCmInMillisiemensPerCm, "mS/cm")
            * MicrosiemensPerCmInMillisiemensPerCm);

    /// <summary>From 0 to 20 S/m.</summary>
    public static Conductivity FromSiemensPerMetre(double siemensPerMetre)
        => new(Bounds.Check(siemensPerMetre, 0, MaxMicrosiemensPerCm / MicrosiemensPerCmInSiemensPerMetre, "S/m")
            * MicrosiemensPerCmInSiemensPerMetre);

    /// <inheritdoc/>
    public override string ToString() => $"{MicrosiemensPerCm:0.#} µS/cm";
}
