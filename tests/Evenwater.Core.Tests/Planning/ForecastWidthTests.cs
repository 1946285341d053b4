using Evenwater.Core.Estimation;
using Evenwater.Core.Planning;
using Evenwater.Core.Stations;
using Evenwater.CoreTests.Stations;

namespace Evenwater.CoreTests.Planning;

/// <summary>What measuring buys in width of the forecast, for the river station known badly.</summary>
public class ForecastWidthTests
{
    private static readonly Prior _guessed = new()
    {
        StartVolumeLitres = 1.6,
        StartVolumeRelativeSd = 0.15,
        BrimLitres = 11.6,
        BrimRelativeSd = 0.03,
        FreeboardLitres = 1.2,
        FlowMillilitresPerMinute = 15,
        FlowRelativeSd = 0.2,
        GainRatioRelativeSd = 0.021,
        ToleranceMicrosiemensPerCm = 40,
        QuantisationMicrosiemensPerCm = 0.03,
        EvaporationMillilitresPerHour = 1,
    };

    private static readonly Dictionary<Measurement, Width> _widths = ForecastWidth.Of(River.Station, _guessed).ToDictionary(w => w.With, w => w.Width);

    [Fact]
    public void Each_thing_that_is_known_badly_is_listed_once_and_all_of_them_together_last() =>
        Assert.Equal(
            [Measurement.None, Measurement.ProbesInOneCup, Measurement.StartVolume, Measurement.Brim, Measurement.Flow, Measurement.All],
            ForecastWidth.Of(River.Station, _guessed).Select(w => w.With));

    [Fact]
    public void Matching_the_probes_narrows_when_it_is_even() =>
        Assert.True(_widths[Measurement.ProbesInOneCup].Even < 0.97 * _widths[Measurement.None].Even, $"{_widths[Measurement.ProbesInOneCup]} {_widths[Measurement.None]}");

    [Fact]
    public void A_jug_narrows_when_it_is_at_its_mark() =>
        Assert.True(_widths[Measurement.StartVolume].Mark < 0.97 * _widths[Measurement.None].Mark, $"{_widths[Measurement.StartVolume]} {_widths[Measurement.None]}");

    [Fact]
    public void Nothing_that_is_measured_widens_anything_and_all_together_are_the_narrowest() =>
        Assert.All(_widths, w =>
        {
            Assert.InRange(w.Value.Even!.Value, 1, 1.05 * _widths[Measurement.None].Even!.Value); // the quantiles are drawn, so a little more is no widening
            Assert.InRange(w.Value.Mark!.Value, 1, 1.05 * _widths[Measurement.None].Mark!.Value);
            Assert.InRange(_widths[Measurement.All].Even!.Value, 1, 1.05 * w.Value.Even.Value);
            Assert.InRange(_widths[Measurement.All].Mark!.Value, 1, 1.05 * w.Value.Mark.Value);
        });

    [Fact]
    public void What_is_known_well_has_nothing_left_to_measure()
    {
        var known = _guessed with { StartVolumeRelativeSd = 0.02, BrimRelativeSd = 0.01, FlowRelativeSd = 0.05, GainRatioRelativeSd = 0.003 };
        Assert.Equal([Measurement.None], ForecastWidth.Of(River.Station, known).Select(w => w.With));
    }

    [Fact]
    public void Without_a_tank_probe_there_is_no_cup_to_match_in() =>
        Assert.DoesNotContain(
            Measurement.ProbesInOneCup,
            ForecastWidth.Of(River.With(sensors: s => s with { TankConductivity = null }), _guessed with { TankMicrosiemensPerCm = 185 }).Select(w => w.With));

    [Fact]
    public void A_run_that_is_even_at_once_has_no_half_way() =>
        Assert.Empty(ForecastWidth.Of(River.With(waters: w => w with { BagMicrosiemensPerCm = 190 }), _guessed));

    [Fact]
    public void The_same_question_has_the_same_answer() => Assert.Equal(ForecastWidth.At(River.Station, _guessed), ForecastWidth.At(River.Station, _guessed));

    [Fact] // 15 mL/min for 4 h are 3.6 L, less 4 mL to the air: 5.196 L; of 225 µS/cm 1.6/5.2 are left, 69.2, and what evaporation concentrates
    public void The_imagined_night_is_the_hand_calculation()
    {
        var station = River.With(sensors: s => s with
        {
            LoadCell = new LoadCellInput { ClockLine = 24, DataLine = 25, ZeroCounts = 0, CountsPerKilogram = 1000 },
            Level = new LevelInput { AdcInput = 2, ZeroVolts = 0, MillimetresPerVolt = 100 },
            DropCounterLine = 16,
        });
        var night = new ImaginedNight(station, _guessed);
        Assert.Equal(8.23, night.EvenHours, 0.06); // 7.4 L at 0.9 L/h
        Assert.Equal(9.78, night.MarkHours, 0.03); // 8.8 L
        night.At(0);
        var readings = night.At(4 * 3600);
        Assert.Equal(185 + 69.2, readings[Channel.VesselConductivity].Value, 0.3);
        Assert.Equal(185, readings[Channel.TankConductivity].Value, 0.02);
        Assert.Equal(5.196, readings[Channel.Mass].Value, 0.001);
        Assert.Equal(5.196 / 0.045, readings[Channel.Level].Value, 0.02);
        Assert.Equal(72_000, readings[Channel.Drops].Value, 1.0); // 3.6 L of 0.05 mL
        Assert.Equal((1.0, 0.0), (readings[Channel.FloatLow].Value, readings[Channel.FloatHigh].Value));
        Assert.Equal(readings[Channel.VesselTemperature].Value, Course.Of(station, 1.6, 0.9).At(4).Celsius, 12);
    }
}
