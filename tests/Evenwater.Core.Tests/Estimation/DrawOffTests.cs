using Evenwater.Core.Estimation;

namespace Evenwater.CoreTests.Estimation;

/// <summary>Water drawn off by hand: how much is known by guess, and the float tells when the vessel has filled up to it again.</summary>
public sealed class DrawOffTests
{
    private const double Flow = 20;
    private const int DrawnAt = 11_000;

    private static readonly Prior Bucket = new()
    {
        StartVolumeLitres = 2,
        BrimLitres = 12,
        FreeboardLitres = 1,
        FlowMillilitresPerMinute = Flow,
        FloatLowLitres = 5,
        ToleranceMicrosiemensPerCm = 20,
    };

    [Theory]
    [InlineData(2.6)]
    [InlineData(1.7)]
    public void The_float_tells_the_volume_once_more_when_it_is_crossed_again(double drawn)
    {
        // 2 L and 20 mL/min: 5 L after 9000 s; 5.67 L when 2.2 L are said to be drawn and 2.6 or 1.7 are; 5 L again after 5800 or 3100 s more.
        var estimator = new Estimator(Bucket, 1);
        Run(estimator, 0, DrawnAt, 0, 1);
        var litres = Litres(DrawnAt, 0);
        var kept = 2 / litres;
        estimator.DrawOff(2.2, 0.25);
        Run(estimator, DrawnAt + 1, DrawnAt + 2000, drawn, kept);
        var before = estimator.Latest.VolumeLitres;
        Run(estimator, DrawnAt + 2001, DrawnAt + 6500, drawn, kept);
        var after = estimator.Latest.VolumeLitres;
        Assert.InRange(Litres(DrawnAt + 6500, drawn), 0.95 * after.P05, 1.05 * after.P95);
        Assert.Equal(Litres(DrawnAt + 6500, drawn), after.P50, 0.25); // twice a float's 0.12 L
        Assert.InRange(Math.Log(after.P95 / after.P05), 0, 0.5 * Math.Log(before.P95 / before.P05));
    }

    [Fact]
    public void What_was_drawn_off_beyond_belief_leaves_a_forecast_of_numbers()
    {
        // A jug told in the wrong measure, three times over: each leaves 2 % of what was believed, fifty times as unsure.
        var estimator = new Estimator(Bucket with { FlowMillilitresPerMinute = null }, 1);
        Run(estimator, 0, 600, 0, 1);
        for (var i = 0; i < 3; i++)
        {
            estimator.DrawOff(11, 0.05);
        }

        Run(estimator, 601, 660, 1e-9, 2 / Litres(600, 0));
        var forecast = estimator.Latest;
        Assert.InRange(forecast.BrimProbability, 0, 1);
        Assert.InRange(forecast.QuietBrimProbability, 0, 1);
        Assert.InRange(forecast.BrimProbabilityTenMinutes, 0, 1);
        Assert.True(double.IsFinite(forecast.VolumeLitres.P95), $"{forecast.VolumeLitres}");
    }

    private static double Litres(double t, double drawn) => 2 + (Flow * t / 60_000) - drawn;

    /// <param name="keptWhenDrawn">What of the first water was left in it then; 1 before.</param>
    private static void Run(Estimator estimator, int from, int to, double drawn, double keptWhenDrawn)
    {
        for (var t = from; t <= to; t++)
        {
            var litres = Litres(t, drawn);
            var kept = drawn == 0 ? 2 / litres : keptWhenDrawn * Litres(DrawnAt, drawn) / litres; // dilution of what is there (any text on stirred tanks)
            var flicker = 0.004 * (((t * 7919 % 101) / 50.0) - 1);
            var now = MonotonicTime.FromSeconds(t);
            var readings = Readings.None();
            readings[Channel.VesselConductivity] = Reading.Of((200 + (400 * kept)) * (1 + flicker), now);
            readings[Channel.TankConductivity] = Reading.Of(200 * (1 - flicker), now);
            readings[Channel.FloatLow] = Reading.Of(litres > 5 ? 1 : 0, now);
            estimator.Step(readings, true, now);
        }
    }
}
