using Evenwater.Core.Calibration;
using Evenwater.Core.Keeping;

namespace Evenwater.Core.Review;

/// <summary>From here on the same water reads another value.</summary>
/// <param name="Channel">Which probe.</param>
/// <param name="At">When.</param>
/// <param name="Step">By how much: % of conductivity, °C.</param>
public readonly record struct CalibrationStep(Channel Channel, DateTimeOffset At, double Step)
{
    private const string Cell = "sensors.tankConductivity.cellConstantPerCm";
    private const string Offset = "sensors.tankConductivity.offsetMicrosiemensPerCm";
    private const string Thermometer = "sensors.tankThermometerOffsetCelsius";

    /// <summary>What a note's calibration makes of the tank's probes; none of any other probe.</summary>
    /// <param name="note">With its time.</param>
    /// <param name="microsiemensPerCm">What the tank read before it, more than 0; null when that is not known: then an offset's step is not.</param>
    public static IEnumerable<CalibrationStep> Of(Note note, double? microsiemensPerCm)
    {
        ArgumentNullException.ThrowIfNull(note);
        if (note is not { At: { } at, Calibration: { } made }) yield break;
        CalibratedValue? Value(string key) => made.Values.FirstOrDefault(value => value.Key == key);
        var ratio = Value(Cell) is { Before: > 0, After: > 0 } cell ? cell.After / cell.Before!.Value : 1;
        var (was, now) = Value(Offset) is { Before: { } before } offset ? (before, offset.After) : (0, 0);
        // A reading is the offset and the cell's share (Calibrate); that the offset is of water that is not at 25 °C changes its step by a few per cent of itself.
        var share = microsiemensPerCm is { } seen ? (((seen - was) * ratio) + now) / seen : was == 0 && now == 0 ? ratio : 1;
        if (share > 0 && share != 1) yield return new(Channel.TankConductivity, at, 100 * Math.Log(share));
        // The offset is what is taken off a thermometer's reading.
        if (Value(Thermometer) is { Before: { } less } heat && less != heat.After) yield return new(Channel.TankTemperature, at, less - heat.After);
    }
}
