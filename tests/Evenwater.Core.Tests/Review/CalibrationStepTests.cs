using Evenwater.Core.Calibration;
using Evenwater.Core.Keeping;
using Evenwater.Core.Review;

namespace Evenwater.CoreTests.Review;

/// <summary>What a calibration makes the same water read, by hand.</summary>
public class CalibrationStepTests
{
    private static readonly DateTimeOffset At = new(2026, 6, 1, 12, 0, 0, TimeSpan.Zero);

    [Theory] // cell constant and offset before and after, and what was read before it, µS/cm
    [InlineData(1, 1.04, 0, 0, 500.0, 3.922)] // 100 ln 1.04
    [InlineData(1, 1.04, 0, 0, null, 3.922)] // whatever it read
    [InlineData(1, 1, 0, 20, 500.0, 3.922)] // 520 of 500
    [InlineData(1, 1, 20, 0, 500.0, -4.082)] // 480 of 500
    [InlineData(1, 1.04, 0, 20, null, null)] // of how much is not known
    [InlineData(1, 1.04, 20, 0, null, null)]
    [InlineData(1, 1, 0, 0, 500.0, null)] // confirmed
    [InlineData(1, 1, 0, -20, 10.0, null)] // what read 10 would read less than nothing
    [InlineData(0, 1.04, 0, 0, 500.0, null)] // no constant
    public void A_cell_s_step_is_in_percent_of_what_it_read(double cell, double cellAfter, double offset, double offsetAfter, double? read, double? percent)
    {
        CalibratedValue[] values =
        [
            new("sensors.tankConductivity.cellConstantPerCm", "1/cm", cell, cellAfter, 0.01),
            new("sensors.tankConductivity.offsetMicrosiemensPerCm", "µS/cm", offset, offsetAfter, 1),
        ];
        var steps = CalibrationStep.Of(Note(values), read).ToList();
        Assert.Equal(percent is null ? [] : [Channel.TankConductivity], steps.Select(step => step.Channel));
        if (percent is { } size) Assert.Equal(size, steps[0].Step, 0.001);
    }

    [Fact]
    public void A_thermometer_s_step_is_its_offset_taken_off_and_none_where_it_stayed()
    {
        static Note Thermometer(double after) => Note(new CalibratedValue("sensors.tankThermometerOffsetCelsius", "°C", 0.2, after, 0.05));
        var step = Assert.Single(CalibrationStep.Of(Thermometer(-0.1), null));
        Assert.Equal((Channel.TankTemperature, At), (step.Channel, step.At));
        Assert.Equal(0.3, step.Step, 1e-9);
        Assert.Empty(CalibrationStep.Of(Thermometer(0.2), null));
    }

    private static Note Note(params CalibratedValue[] values) => new() { Kind = NoteKind.Calibration, At = At, Calibration = new("tank", At, "A", "", values, At.AddDays(30)) };
}
