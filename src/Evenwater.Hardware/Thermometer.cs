using Evenwater.Core;

namespace Evenwater.Hardware;

/// <summary>A DS18B20 on 1-wire. Raw: 1/16 °C.</summary>
/// <param name="wire">Where its text comes from.</param>
/// <param name="id">Family and serial number, such as 28-0000054b97a5.</param>
public sealed class Thermometer(IOneWire wire, string id)
{
    /// <summary>
    /// One reading. On a computer it blocks for up to 0.75 s, the time of a 12-bit conversion, so it belongs on the probes' own thread.
    /// </summary>
    public RawSample Read(MonotonicTime now) => wire.Read(id) is { } text
        ? ThermometerFrame.Parse(text, now)
        : RawSample.Missing(Reason.NoAnswer, now);
}
