using Evenwater.Core.Estimation;

namespace Evenwater.CoreTests.Estimation;

/// <summary>
/// A vessel filled at 20 mL/min from 2 L with water of 25 °C and 200 µS/cm, itself 19 °C and 600 µS/cm at first, in a room that alone would hold
/// it at 20 °C and takes 0.25 of the difference an hour: dT/dt = (q/V)(25 - T) + k (20 - T), Newton's law with a stirred inflow (any text).
/// </summary>
public sealed class WarmthForecastTests
{
    private const double PerHour = 0.25;

    private static readonly Prior Bucket = new()
    {
        StartVolumeLitres = 2, StartVolumeRelativeSd = 0.02, BrimLitres = 12, FreeboardLitres = 1, FlowMillilitresPerMinute = 20,
        ToleranceMicrosiemensPerCm = 60, EvaporationMillilitresPerHour = 0, TemperatureToleranceCelsius = 2.5, RoomCelsius = 20,
    };

    [Fact]
    public void The_time_to_an_even_temperature_and_where_it_settles_hold_the_truth()
    {
        var estimator = new Estimator(Bucket, 1);
        Feed(estimator, 1800);
        var latest = estimator.Latest;
        Assert.InRange(EvenAt(2.5) - 1800, latest.TemperatureMatchSeconds!.Value.P05, latest.TemperatureMatchSeconds.Value.P95);

        // Half an hour in there are 2.6 L: q/V = 0.46/h against 0.25/h of the room.
        var settles = ((1.2 / 2.6 * 25) + (PerHour * 20)) / ((1.2 / 2.6) + PerHour);
        Assert.InRange(settles, latest.SettlingCelsius!.Value.P05, latest.SettlingCelsius.Value.P95);

        // Of 96 paths the ends of the range are not known well enough: on average over 200 orders of draws.
        Assert.InRange(Enumerable.Range(1, 200).Average(seed => Width(estimator.Drawn((ulong)seed).SettlingCelsius!.Value)), 0.05, 3);
        Assert.True(latest.JointMatchSeconds!.Value.P50 >= Math.Max(latest.TemperatureMatchSeconds.Value.P50, latest.MatchSeconds.P50) * 0.9);
    }

    [Fact]
    public void A_vessel_that_the_room_keeps_cold_is_never_even_in_temperature()
    {
        var latest = Run(Bucket with { TemperatureToleranceCelsius = 0.1 }, 3600, thermometers: true);
        Assert.Equal(double.PositiveInfinity, latest.TemperatureMatchSeconds!.Value.P50);
        Assert.Equal(double.PositiveInfinity, latest.JointMatchSeconds!.Value.P50);
    }

    [Fact]
    public void Without_thermometers_nothing_is_said_of_temperature()
    {
        var latest = Run(Bucket, 600, thermometers: false);
        Assert.Null(latest.TemperatureMatchSeconds);
        Assert.Null(latest.JointMatchSeconds);
        Assert.Null(latest.SettlingCelsius);
    }

    [Theory]
    [InlineData(600, false)]
    [InlineData(230, true)]
    public void The_replaced_fraction_is_that_of_a_plain_fill(double bag, bool judgedByIt)
    {
        // 1 - V0/V: an hour adds 1.2 L to 2 L.
        var latest = Run(Bucket, 3600, thermometers: false, bag);
        Assert.InRange(1 - (2 / 3.2), latest.ReplacedFraction.P05, latest.ReplacedFraction.P95);
        Assert.InRange(latest.ReplacedFraction.P95 - latest.ReplacedFraction.P05, 0.001, 0.2);
        Assert.Equal(judgedByIt, latest.JudgedByReplacedFraction);
    }

    private static Forecast Run(Prior prior, int seconds, bool thermometers, double bag = 600)
    {
        var estimator = new Estimator(prior, 1);
        Feed(estimator, seconds, thermometers, bag);
        return estimator.Latest;
    }

    private static double Width(Quantiles quantiles) => quantiles.P95 - quantiles.P05;

    private static void Feed(Estimator estimator, int seconds, bool thermometers = true, double bag = 600)
    {
        var celsius = 19.0;
        for (var t = 0; t <= seconds; t++)
        {
            var at = MonotonicTime.FromSeconds(t);
            var litres = 2 + (20 * t / 60_000.0);
            var flicker = 0.005 * (((t * 7919 % 101) / 50.0) - 1);
            var readings = Readings.None();
            readings[Channel.VesselConductivity] = Reading.Of((200 + ((bag - 200) * 2 / litres)) * (1 + flicker), at);
            readings[Channel.TankConductivity] = Reading.Of(200 * (1 - flicker), at);
            if (thermometers)
            {
                readings[Channel.VesselTemperature] = Reading.Of(celsius + (10 * flicker), at);
                readings[Channel.TankTemperature] = Reading.Of(25 - (10 * flicker), at);
            }

            estimator.Step(readings, true, at);
            celsius += Warms(celsius, litres);
        }
    }

    private static double EvenAt(double tolerance)
    {
        var (celsius, t) = (19.0, 0);
        for (; 25 - celsius > tolerance; t++)
        {
            celsius += Warms(celsius, 2 + (20 * t / 60_000.0));
        }

        return t;
    }

    /// <summary>°C in a second.</summary>
    private static double Warms(double celsius, double litres) => ((20.0 / 60_000 / litres) * (25 - celsius)) + (PerHour / 3600 * (20 - celsius));
}
