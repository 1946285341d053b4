using System.Text.Json.Serialization;

namespace Evenwater.Core.Standing;

/// <summary>What a keeper measures by hand.</summary>
public enum Substance
{
    /// <summary>NO3, mg/L.</summary>
    Nitrate,

    /// <summary>NO2, mg/L.</summary>
    Nitrite,

    /// <summary>NH3 and NH4 together, mg/L (TAN).</summary>
    TotalAmmonia,

    /// <summary>PO4, mg/L.</summary>
    Phosphate,

    /// <summary>Total hardness (GH), °dH.</summary>
    TotalHardness,

    /// <summary>Carbonate hardness (KH), °dH.</summary>
    CarbonateHardness,

    /// <summary>Fe, mg/L.</summary>
    Iron,

    /// <summary>CO2, mg/L.</summary>
    CarbonDioxide,

    /// <summary>pH.</summary>
    Ph,
}

/// <summary>A test by hand: what was read, and how finely the kit can be read.</summary>
public sealed record ManualTest
{
    /// <summary>What was tested.</summary>
    public required Substance Of { get; init; }

    /// <summary>What was read, in the substance's unit; for a kit that showed nothing, the least that it shows.</summary>
    public required double Value { get; init; }

    /// <summary>From one step of the kit's scale to the next where it was read, in the same unit, more than 0.</summary>
    public required double Step { get; init; }

    /// <summary>Whether the kit showed nothing: it is less than the value.</summary>
    public bool Below { get; init; }

    /// <summary>
    /// 1-sigma of the reading, in the same unit: anything within a step is as likely, so step / √12 (GUM, JCGM 100:2008, 4.3.7: half-width over √3). What the
    /// kit's own chemistry errs is not in it.
    /// </summary>
    [JsonIgnore]
    public double Sd => Step / Math.Sqrt(12);

    /// <summary>Whether two readings differ by more than half a step of each, which reading alone could make of one and the same water.</summary>
    public bool DiffersFrom(ManualTest other)
    {
        ArgumentNullException.ThrowIfNull(other);
        const double Exactly = 1e-9;
        return Below || other.Below
            ? (Below ? other.Value - Value : Value - other.Value) > (Below ? other.Step : Step) / 2 && !(Below && other.Below)
            : Math.Abs(Value - other.Value) > ((Step + other.Step) / 2 * (1 + Exactly));
    }
}
