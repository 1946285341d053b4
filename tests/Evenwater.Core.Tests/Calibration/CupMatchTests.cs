using Evenwater.Core.Calibration;

namespace Evenwater.CoreTests.Calibration;

/// <summary>Both probes in one cup: when their ratio may be used, and what it is.</summary>
public class CupMatchTests
{
    private double _seconds;

    [Fact]
    public void Two_minutes_of_steady_readings_give_the_ratio_of_the_gains_and_how_well_it_is_known()
    {
        var match = new CupMatch();
        for (var i = 0; i < 119; i++)
        {
            Assert.Equal(CupState.Looking, Step(match, 204, 200, noise: 0.4));
        }

        Assert.Equal(CupState.Steady, Step(match, 204, 200, noise: 0.4));
        Assert.Equal(1.02, match.Ratio, 0.0005);
        Assert.Equal(0.003, match.RelativeSd, 0.0002); // what two minutes do not show outweighs the scatter
    }

    [Theory] // probes and thermometers come from two waters 3.5 °C apart and settle with their lag: 7 % e^(-t / lag); the program waits for 480 s
    [InlineData(20, 300)]
    [InlineData(30, 330)]
    [InlineData(60, 420)]
    [InlineData(120, 600)]
    public void Probes_that_still_settle_are_not_taken_and_the_ratio_when_they_are_is_right(double lagSeconds, int longest)
    {
        var errors = new List<double>();
        for (var seed = 0; seed < 100; seed++)
        {
            var (random, match, second) = (new Random(seed), new CupMatch(), 0);
            while (match.State != CupState.Steady)
            {
                var vessel = 204 * (1 + (0.07 * Math.Exp(-second++ / lagSeconds)) + (0.004 * Normal(random)));
                Step(match, vessel, 200 * (1 + (0.004 * Normal(random))));
                Assert.InRange(second, 0, longest);
            }

            errors.Add(Math.Abs((match.Ratio / 1.02) - 1));
        }

        Assert.InRange(errors.Count(e => e <= 0.006), 95, 100); // two of the standard deviations it claims
        Assert.InRange(errors.Max(), 0, 0.009); // three
    }

    [Fact]
    public void Probes_in_two_waters_are_told_apart_from_probes_in_one()
    {
        Assert.Equal(CupState.NotOneWater, Step(new CupMatch(), 410, 185));
        Assert.Equal(CupState.NotOneWater, Step(new CupMatch(), 185, 410));
        Assert.Equal(CupState.NotOneTemperature, Step(new CupMatch(), 204, 200, vesselCelsius: 19.5, tankCelsius: 23));
        Assert.Equal(CupState.NotOneTemperature, Step(new CupMatch(), 204, 200, vesselCelsius: 24.2, tankCelsius: 23));
        Assert.Equal(CupState.Looking, Step(new CupMatch(), 204, 200, vesselCelsius: 22.6, tankCelsius: 23));
    }

    [Fact]
    public void A_reading_that_is_missing_begins_the_two_minutes_anew()
    {
        var match = new CupMatch();
        for (var i = 0; i < 40; i++)
        {
            Step(match, 204, 200);
        }

        var readings = Readings.None();
        readings[Channel.VesselConductivity] = Reading.Missing(Reason.TooFast, default);
        Assert.Equal((CupState.NoReading, 0), (match.Step(readings), match.Count));
    }

    [Fact]
    public void The_same_samples_seen_again_are_not_counted_twice()
    {
        var match = new CupMatch();
        Step(match, 204, 200);
        _seconds--;
        Step(match, 204, 200);
        Assert.Equal(1, match.Count);
    }

    [Theory]
    [InlineData(1, 5)]
    [InlineData(5, 1)]
    public void Where_one_probe_is_read_more_often_a_pair_is_as_new_as_its_older_half(int vesselEvery, int tankEvery)
    {
        var match = new CupMatch();
        for (var second = 0; second < 20; second++)
        {
            var readings = Readings.None();
            readings[Channel.VesselConductivity] = Reading.Of(204, MonotonicTime.FromSeconds(1 + second - (second % vesselEvery)));
            readings[Channel.TankConductivity] = Reading.Of(200, MonotonicTime.FromSeconds(1 + second - (second % tankEvery)));
            match.Step(readings);
        }

        Assert.Equal(4, match.Count);
    }

    [Theory] // a dry cell reads 0, and has no ratio to anything
    [InlineData(0, 200)]
    [InlineData(204, 0)]
    public void Dry_probes_have_no_ratio(double vessel, double tank)
    {
        var match = new CupMatch();
        Assert.Equal((CupState.NoReading, 0), (Step(match, vessel, tank), match.Count));
    }

    private static double Normal(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    private CupState Step(CupMatch match, double vessel, double tank, double noise = 0, double vesselCelsius = 23, double tankCelsius = 23)
    {
        var now = MonotonicTime.FromSeconds(++_seconds);
        var readings = Readings.None();
        readings[Channel.VesselConductivity] = Reading.Of(vessel + (_seconds % 2 == 0 ? noise : -noise), now);
        readings[Channel.TankConductivity] = Reading.Of(tank, now);
        readings[Channel.VesselTemperature] = Reading.Of(vesselCelsius, now);
        readings[Channel.TankTemperature] = Reading.Of(tankCelsius, now);
        return match.Step(readings);
    }
}
