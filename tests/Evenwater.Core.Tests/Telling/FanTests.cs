using CsCheck;
using Evenwater.Core.Estimation;
using Evenwater.Core.Telling;

namespace Evenwater.CoreTests.Telling;

public class FanTests
{
    private static Quantiles Exactly(double x) => new(x, x, x, x, x);

    // 1.6 L at 410 µS/cm into 185 at 15 mL/min: even within 40 at V = 225 × 1.6 / 40 = 9.0 L, that is 7.4 L / 15 mL/min = 29 600 s;
    // at the mark of 10.4 L after 8.8 L = 35 200 s.
    private static Forecast ByHand() => new()
    {
        VolumeLitres = Exactly(1.6),
        FlowMillilitresPerMinute = Exactly(15),
        MatchSeconds = Exactly(29_600),
        BrimSeconds = Exactly(35_200),
    };

    [Fact]
    public void A_certain_forecast_is_the_fill_formula()
    {
        foreach (var forecast in new[] { ByHand(), ByHand() with { MatchSeconds = Quantiles.Never, BrimSeconds = Quantiles.Never } with { MatchSeconds = Exactly(0) } })
        {
            var conductivity = Fan.Conductivity(forecast, 410, 185, 40, open: true, 36_000, 10);
            var volume = Fan.Volume(forecast, 10.4, open: true, 36_000, 10);
            for (var i = 0; i <= 10; i++)
            {
                var v = 1.6 + (0.015 / 60 * 3600 * i);
                Assert.Equal(3600.0 * i, volume[i].Seconds, 9);
                Assert.Equal(v, volume[i].P50, 9);
                Assert.Equal(185 + (225 * 1.6 / v), conductivity[i].P50, 9);
                Assert.Equal(conductivity[i].P05, conductivity[i].P95, 9);
                Assert.Equal(volume[i].P05, volume[i].P95, 9);
            }
        }
    }

    [Fact]
    public void The_curves_cross_the_tolerance_and_the_mark_when_the_forecast_says_so()
    {
        var forecast = ByHand() with
        {
            VolumeLitres = new(1.5, 1.55, 1.6, 1.65, 1.7),
            MatchSeconds = new(25_000, 27_000, 29_600, 33_000, 40_000),
            BrimSeconds = new(30_000, 33_000, 35_200, 38_000, 42_000),
        };
        Assert.Equal(225, Fan.Conductivity(forecast, 410, 185, 40, true, 25_000, 1)[1].P05, 9);
        Assert.Equal(225, Fan.Conductivity(forecast, 410, 185, 40, true, 29_600, 1)[1].P50, 9);
        Assert.Equal(225, Fan.Conductivity(forecast, 410, 185, 40, true, 40_000, 1)[1].P95, 9);
        Assert.Equal(10.4, Fan.Volume(forecast, 10.4, true, 30_000, 1)[1].P95, 9);
        Assert.Equal(10.4, Fan.Volume(forecast, 10.4, true, 35_200, 1)[1].P50, 9);
        Assert.Equal(10.4, Fan.Volume(forecast, 10.4, true, 42_000, 1)[1].P05, 9);
    }

    [Fact] // after 10 000 s: 1.6 + 2.5 L, spread sqrt(0.1² + 0.25²) = 0.2693; q / V = 1.5625e-4 1/s, slower by sqrt(ln(15 / 13.5)² + ln(1.7 / 1.6)²) = 0.1216, faster by sqrt(ln(16.5 / 15)² + ln(1.6 / 1.5)²) = 0.1151
    public void Where_no_time_is_told_the_curves_follow_volume_and_flow_as_if_independent()
    {
        var forecast = new Forecast
        {
            VolumeLitres = new(1.5, 1.55, 1.6, 1.65, 1.7), FlowMillilitresPerMinute = new(13.5, 14.2, 15, 15.8, 16.5), MatchSeconds = Exactly(0), BrimSeconds = Quantiles.Never,
        };
        var volume = Fan.Volume(forecast, 10.4, true, 10_000, 1)[1];
        Assert.Equal((3.8307, 4.1, 4.3693), (Math.Round(volume.P05, 4), Math.Round(volume.P50, 4), Math.Round(volume.P95, 4)));
        var conductivity = Fan.Conductivity(forecast, 410, 185, 40, true, 10_000, 1)[1];
        Assert.Equal((266.73, 272.80, 279.39), (Math.Round(conductivity.P05, 2), Math.Round(conductivity.P50, 2), Math.Round(conductivity.P95, 2)));

        // Not within the horizon: the middle reaches the tolerance at its end and not before.
        Assert.Equal(225, Fan.Conductivity(forecast with { MatchSeconds = Quantiles.Never }, 410, 185, 40, true, Quantiles.HorizonSeconds, 1)[1].P50, 9);
    }

    [Fact]
    public void A_vessel_weaker_than_the_tank_rises_towards_it()
    {
        var bands = Fan.Conductivity(ByHand(), 100, 185, 40, true, 36_000, 20);
        Assert.All(bands, b => Assert.InRange(b.P50, 100, 185));
        Assert.True(bands[20].P50 > bands[0].P50);
    }

    [Fact]
    public void With_the_valve_closed_nothing_moves()
    {
        Assert.All(Fan.Conductivity(ByHand(), 410, 185, 40, open: false, 9000, 5), b => Assert.Equal(410, b.P50));
        Assert.All(Fan.Volume(ByHand(), 10.4, open: false, 9000, 5), b => Assert.Equal(1.6, b.P50));
    }

    [Fact]
    public void Whatever_the_forecast_the_quantiles_are_finite_and_in_order()
    {
        // Seconds from "already" over ordinary to "never", each in order; volumes and flows from none to plenty.
        var time = Gen.OneOf(Gen.Const(0.0), Gen.Double[1, 200_000], Gen.Const(Quantiles.Beyond)).Array[5].Select(Ordered);
        var positive = Gen.Double[0.0, 30.0].Array[5].Select(Ordered);
        Gen.Select(positive, positive, time, time, Gen.Double[0, 2000], Gen.Double[0, 2000], Gen.Double[0.5, 100])
            .Sample((v, q, match, brim, vessel, tank, tolerance) =>
            {
                var forecast = new Forecast { VolumeLitres = v, FlowMillilitresPerMinute = q, MatchSeconds = match, BrimSeconds = brim };
                foreach (var b in Fan.Conductivity(forecast, vessel, tank, tolerance, true, 40_000, 7).Concat(Fan.Volume(forecast, 10.4, true, 40_000, 7)))
                {
                    Assert.True(double.IsFinite(b.P05) && double.IsFinite(b.P95), $"{b}");
                    Assert.True(b.P05 <= b.P50 && b.P50 <= b.P95 && b.P05 >= 0, $"{b}");
                }
            });
    }

    private static Quantiles Ordered(double[] x)
    {
        var s = x.Order().ToArray();
        return new(s[0], s[1], s[2], s[3], s[4]);
    }
}
