using System.Collections.Concurrent;
using System.Device.I2c;
using System.Diagnostics.CodeAnalysis;
using Evenwater.Core;
using Iot.Device.Ads1115;

namespace Evenwater.Hardware;

/// <summary>
/// One ADS1115, as one station sees it. Several probes hang on it; all of a station's read through here, from one thread. Two stations may share a chip, as that of one tank's
/// probe: each has its own of these and its own thread, and one's conversion waits for the other's, or it would be given that one's answer.
/// <para>
/// Each read is one single-shot conversion: input, range and start are written together, and the binding then polls the
/// "conversion done" bit. So a reading always belongs to the input that was asked for, the chip needs no other set-up after
/// a power dip, and the wait is the conversion itself (about 8 ms at 128 samples per second) and nothing at all on a bus that
/// is ready at once.
/// </para>
/// </summary>
/// <param name="device">The chip on its bus; owned.</param>
[SuppressMessage("Reliability", "CA2213", Justification = "The binding's Dispose only resets the comparator, retrying with sleeps when the chip is gone; the device is ours to dispose.")]
public sealed class Adc(I2cDevice device) : IDisposable
{
    private static readonly ConcurrentDictionary<(int Bus, int Address), Lock> Chips = new();

    private readonly Lock _converting = Chips.GetOrAdd((device.ConnectionSettings.BusId, device.ConnectionSettings.DeviceAddress), _ => new Lock());
    private Ads1115? _chip;
    private bool _silent;
    private MonotonicTime _lastAsked;

    /// <summary>Converts a single-ended input once.</summary>
    /// <param name="input">0 to 3.</param>
    /// <param name="range">Full scale.</param>
    /// <param name="now">When.</param>
    /// <returns>
    /// Counts; <see cref="Reason.OutOfRange"/> at either end of the scale; <see cref="Reason.NoAnswer"/> when the chip did not
    /// acknowledge, or did not finish, twice in a row. A chip that is silent already is asked once per instant only, so that two
    /// probes on it do not wait twice.
    /// </returns>
    public RawSample Read(int input, MeasuringRange range, MonotonicTime now)
    {
        var silent = _silent;
        if (silent && now == _lastAsked)
        {
            return RawSample.Missing(Reason.NoAnswer, now);
        }

        _lastAsked = now;
        _silent = !TryConvert(input, range, out var counts) && (silent || !TryConvert(input, range, out counts));
        return _silent ? RawSample.Missing(Reason.NoAnswer, now)
            : counts is short.MaxValue or short.MinValue ? RawSample.Missing(Reason.OutOfRange, now)
            : RawSample.Of(counts, now);
    }

    /// <summary>The range by its full scale, V. ADS1115 data sheet, table "Full-Scale Range and Corresponding LSB Size".</summary>
    internal static MeasuringRange RangeOf(double fullScaleVolts) => fullScaleVolts switch
    {
        6.144 => MeasuringRange.FS6144,
        4.096 => MeasuringRange.FS4096,
        2.048 => MeasuringRange.FS2048,
        1.024 => MeasuringRange.FS1024,
        0.512 => MeasuringRange.FS0512,
        0.256 => MeasuringRange.FS0256,
        _ => throw new ArgumentOutOfRangeException(nameof(fullScaleVolts), fullScaleVolts, "one of 6.144, 4.096, 2.048, 1.024, 0.512, 0.256 V"),
    };

    /// <inheritdoc/>
    public void Dispose() => device.Dispose();

    private bool TryConvert(int input, MeasuringRange range, out short counts)
    {
        try
        {
            lock (_converting)
            {
                // Made at the first read: its constructor talks to the chip, and a missing chip must not stop the others.
                _chip ??= new Ads1115(device, deviceMode: DeviceMode.PowerDown);
                counts = _chip.ReadRaw(InputMultiplexer.AIN0 + input, range, DataRate.SPS128);
                return true;
            }
        }
        catch (Exception failure) when (IsBusFault(failure))
        {
            counts = 0;
            return false;
        }
    }

    private static bool IsBusFault(Exception failure) => failure is IOException or TimeoutException;
}
