using Evenwater.Core;
using Evenwater.Core.Stations;
using Iot.Device.Ads1115;

namespace Evenwater.Hardware;

/// <summary>One conductivity front end on one input of an ADC. Raw: ADC counts.</summary>
public sealed class ConductivityProbe
{
    private readonly Adc _adc;
    private readonly int _input;
    private readonly MeasuringRange _range;

    /// <summary>A probe as the station file describes it.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The input or the full scale is none that the chip has.</exception>
    public ConductivityProbe(Adc adc, ConductivityInput input)
    {
        ArgumentNullException.ThrowIfNull(input);
        ArgumentOutOfRangeException.ThrowIfNegative(input.AdcInput);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(input.AdcInput, 3);
        _adc = adc;
        _input = input.AdcInput;
        _range = Adc.RangeOf(input.FullScaleVolts);
    }

    /// <summary>One reading; see <see cref="Adc.Read"/>.</summary>
    public RawSample Read(MonotonicTime now) => _adc.Read(_input, _range, now);
}
