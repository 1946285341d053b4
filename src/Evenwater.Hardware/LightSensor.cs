using System.Device.I2c;
using System.Diagnostics.CodeAnalysis;
using Evenwater.Core;
using Iot.Device.Bh1750fvi;

namespace Evenwater.Hardware;

/// <summary>
/// A light sensor of the BH1750 type on the I2C bus. Raw: the chip's 16-bit count, 1.2 counts a lux (data sheet). Chosen of the sensors that the bindings know because one
/// integer is its whole answer, it needs no set-up after a power dip, and 54 612 lx are enough for a lamp over a tank.
/// </summary>
/// <param name="device">The chip on its bus; owned.</param>
[SuppressMessage("Reliability", "CA2213", Justification = "The binding's Dispose only disposes the device, which is ours.")]
public sealed class LightSensor(I2cDevice device) : IDisposable
{
    /// <summary>A measurement takes 120 ms, at most 180 (data sheet, H-resolution mode).</summary>
    public const double MeasurementSeconds = 0.18;

    private const double CountsPerLux = 1.2;

    private Bh1750fvi? _chip;
    private MonotonicTime? _startedAt;

    /// <summary>
    /// The measurement that the call before began. The chip answers 0 until its first one is done, which is no darkness: the first call, and one after a silence, has no answer.
    /// </summary>
    /// <param name="now">When; calls closer together than <see cref="MeasurementSeconds"/> have no answer.</param>
    /// <returns>Counts; <see cref="Reason.OutOfRange"/> at the end of the scale; else <see cref="Reason.NoAnswer"/>.</returns>
    public RawSample Read(MonotonicTime now)
    {
        try
        {
            // Made at the first read: its constructor talks to the chip, and a missing chip must not stop the others.
            _chip ??= new Bh1750fvi(device, MeasuringMode.ContinuouslyHighResolutionMode, lightTransmittance: 1);
            var counts = (int)Math.Round(_chip.Illuminance.Lux * CountsPerLux);
            var done = _startedAt is { } started && now.SecondsSince(started) >= MeasurementSeconds;
            _startedAt = now;
            return !done ? RawSample.Missing(Reason.NoAnswer, now)
                : counts >= ushort.MaxValue ? RawSample.Missing(Reason.OutOfRange, now)
                : RawSample.Of(counts, now);
        }
        catch (Exception failure) when (failure is IOException or TimeoutException)
        {
            // Whatever silenced it may have taken its power: set up anew.
            (_chip, _startedAt) = (null, null);
            return RawSample.Missing(Reason.NoAnswer, now);
        }
    }

    /// <inheritdoc/>
    public void Dispose() => device.Dispose();
}
