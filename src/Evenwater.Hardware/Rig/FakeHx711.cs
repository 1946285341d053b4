namespace Evenwater.Hardware.Rig;

/// <summary>
/// An HX711 as its two lines show it (HX711 data sheet, "Serial Interface"): data falls when a conversion is ready; each rise of the
/// clock puts out the next bit, highest first; the 25th ends the reading and data is high until the next conversion.
/// </summary>
internal sealed class FakeHx711
{
    private const int Bits = 24;
    private const int Most = (1 << (Bits - 1)) - 1;

    private int _counts;
    private int _shifted;
    private bool _ready;
    private bool _clock;

    /// <summary>Whether the chip has lost its supply: data then follows its pull-up.</summary>
    public bool Silent { get; set; }

    /// <summary>The level of its data line: true is high.</summary>
    public bool DataIsHigh { get; private set; } = true;

    /// <summary>A conversion is done. One that was not fetched is replaced, but not while it is being clocked out.</summary>
    public void Convert(double counts)
    {
        if (_shifted > 0 && _shifted <= Bits)
        {
            return;
        }

        _counts = (int)Math.Round(Math.Clamp(counts, -Most - 1, Most));
        (_ready, _shifted, DataIsHigh) = (true, 0, Silent);
    }

    /// <summary>Its clock has been high for 60 µs.</summary>
    public void SwitchOff() => (_ready, _shifted, DataIsHigh) = (false, 0, true);

    /// <summary>The level of its clock line.</summary>
    public void Clock(bool high)
    {
        var rises = high && !_clock;
        _clock = high;
        if (!rises || Silent || !_ready)
        {
            return;
        }

        _shifted++;
        DataIsHigh = _shifted > Bits || ((_counts >> (Bits - _shifted)) & 1) != 0;
        _ready = _shifted <= Bits;
    }
}
