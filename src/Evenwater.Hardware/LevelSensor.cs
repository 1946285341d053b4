using Evenwater.Core;
using Evenwater.Core.Stations;
using Iot.Device.Ads1115;

namespace Evenwater.Hardware;

/// <summary>A level sensor's voltage on one input of an ADC. Raw: ADC counts.</summary>
public sealed class LevelSensor
{
    private readonly Adc _adc;
    private readonly int _input;
    private readonly MeasuringRange _range;

    /// <summary>A sensor as the station file describes it.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The full scale is none that the chip has.</exception>
    public LevelSensor(Adc adc, LevelInput input)
    {
        ArgumentNullException.ThrowIfNull(input);
        (_adc, _input, _range) = (adc, input.AdcInput, Adc.RangeOf(input.FullScaleVolts));
    }

    /// <summary>One reading; see <see cref="Adc.Read"/>.</summary>
    public RawSample Read(MonotonicTime now) => _adc.Read(_input, _range, now);
}
