using System.Runtime.Intrinsics;
using Evenwater.Core.Estimation;

namespace Evenwater.CoreTests.Estimation;

/// <summary>One path's warmth against the classic fourth-order Runge-Kutta rule (Kutta 1901), and both matches at once.</summary>
public sealed class WarmthPathsTests
{
    private static readonly Prior Bucket = new()
    {
        StartVolumeLitres = 2, BrimLitres = 12, FreeboardLitres = 1, FlowMillilitresPerMinute = 20, FlowRelativeSd = 0.05, StartVolumeRelativeSd = 0.02,
        ToleranceMicrosiemensPerCm = 60, GainRatioRelativeSd = 0.003, EvaporationMillilitresPerHour = 0, TemperatureToleranceCelsius = 1, RoomCelsius = 18,
    };

    [Theory]
    [InlineData(19, 22, 0.2)] // warmed by the drip and kept back by the room
    [InlineData(28, 26, 0.6)]
    [InlineData(19, 27, 1.0)]
    public void The_warmth_of_a_path_is_that_of_the_integrated_equation(double start, double room, double perHour)
    {
        var path = new WarmthPaths(Starts(2, start, room, perHour), 8, Bucket, 25);
        var grid = new TimeGrid();
        grid.Lay(new ValvePlan([]), 0);
        var (celsius, litres, at, even) = (start, 2.0, 0.0, double.NaN);
        for (var k = 0; grid[k].Start + grid[k].Seconds <= 8 * 3600; k++)
        {
            path.Step(grid[k], Vector256.Create(2 + (1.2f * grid[k].Start / 3600)), Vector256.Create(1.2f * grid[k].Seconds / 3600));
            for (; at < grid[k].Start + grid[k].Seconds; at++)
            {
                even = double.IsNaN(even) && Math.Abs(celsius - 25) <= 1 ? at : even;
                celsius = RungeKutta(celsius, litres, room, perHour);
                litres += 1.2 / 3600;
            }

            Assert.Equal(Math.Abs(celsius - 25) <= 1, path.Within[0] != 0 || Math.Abs(Math.Abs(celsius - 25) - 1) < 0.05);
        }

        Assert.Equal(even, path.Even[0], (a, b) => double.IsNaN(a) ? double.IsInfinity(b) : Math.Abs(a - b) < 0.02 * (a + 60));
    }

    [Fact]
    public void It_settles_where_drip_and_room_balance()
    {
        var middle = Math.Sqrt(24);

        // 20 mL/min into the middling volume: (q/V 25 + k 20) / (q/V + k).
        var inflow = 1.2 / middle;
        Assert.Equal(((inflow * 25) + (0.25 * 20)) / (inflow + 0.25), new WarmthPaths(Starts(middle, 20, 20, 0.25), 8, Bucket, 25).Settles(Vector256.Create(20f))[0], 5);
    }

    /// <summary>The waters come even in conductivity only when the vessel, at first as warm as the tank, has long cooled away from it.</summary>
    [Fact]
    public void What_is_even_in_warmth_first_and_in_salt_later_is_never_both()
    {
        var estimator = new Estimator(Bucket, 1);
        var celsius = 25.0;
        for (var t = 0; t <= 600; t++)
        {
            var at = MonotonicTime.FromSeconds(t);
            var litres = 2 + (1.2 * t / 3600.0);
            var flicker = 0.002 * (((t * 7919 % 101) / 50.0) - 1);
            var readings = Readings.None();
            readings[Channel.VesselConductivity] = Reading.Of((200 + (400 * 2 / litres)) * (1 + flicker), at);
            readings[Channel.TankConductivity] = Reading.Of(200 * (1 - flicker), at);
            readings[Channel.VesselTemperature] = Reading.Of(celsius + flicker, at);
            readings[Channel.TankTemperature] = Reading.Of(25 + flicker, at);
            estimator.Step(readings, true, at);
            celsius += ((1.2 / litres * (25 - celsius)) + (0.4 * (18 - celsius))) / 3600;
        }

        Assert.InRange(celsius, 24.3, 24.8); // still even, and cooling away
        Assert.Equal(0, estimator.Latest.TemperatureMatchSeconds!.Value.P50);
        Assert.True(double.IsFinite(estimator.Latest.MatchSeconds.P50));
        Assert.Equal(double.PositiveInfinity, estimator.Latest.JointMatchSeconds!.Value.P50);
    }

    /// <summary>Only the ninth path starts as told; its neighbours start elsewhere.</summary>
    private static PathStarts Starts(double litres, double celsius, double room, double perHour)
    {
        var starts = new PathStarts(new DrawTable(1));
        (starts.Column(State.LnVolume)[8], starts.Column(State.LnExchange)[8]) = ((float)Math.Log(litres), (float)Math.Log(perHour));
        (starts.Column(State.Warmth)[8], starts.Column(State.Surroundings)[8]) = ((float)celsius, (float)room);
        return starts;
    }

    private static double RungeKutta(double celsius, double litres, double room, double perHour)
    {
        const double h = 1.0 / 3600;
        double Slope(double c, double v) => (1.2 / v * (25 - c)) + (perHour * Math.Pow(v / Math.Sqrt(24), -Process.ExchangeFall) * (room - c));
        var a = Slope(celsius, litres);
        var b = Slope(celsius + (0.5 * h * a), litres + (0.5 * h * 1.2));
        var c = Slope(celsius + (0.5 * h * b), litres + (0.5 * h * 1.2));
        var d = Slope(celsius + (h * c), litres + (h * 1.2));
        return celsius + (h / 6 * (a + (2 * b) + (2 * c) + d));
    }
}
