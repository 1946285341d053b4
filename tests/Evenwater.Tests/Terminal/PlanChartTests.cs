using Evenwater.Commands;
using Evenwater.Terminal;

namespace Evenwater.Tests.Terminal;

public class PlanChartTests
{
    private static readonly PlanPage Page = PlanPage.Of(DemoStation.Read(), new PlanClock(new DateTimeOffset(2026, 11, 28, 20, 0, 0, TimeSpan.Zero), TimeZoneInfo.Utc));

    [Theory]
    [InlineData(80, true)]
    [InlineData(80, false)]
    [InlineData(60, true)]
    public void The_chart_fits_its_columns_and_names_its_lines_without_colour(int columns, bool unicode)
    {
        var lines = PlanChart.Draw(Page.Picture, columns, unicode, Page.Clock.Text).ToList();
        Assert.All(lines, line => Assert.InRange(line.Length, 1, columns));
        Assert.All(["vessel", "tank", "mark 10.4", "20:00", "Sun 04:45 even, valve closes"], said => Assert.Contains(lines, line => line.Contains(said, StringComparison.Ordinal)));
        Assert.Equal(!unicode, lines.All(line => line.All(c => c < 256)));
        Assert.DoesNotContain(lines, line => line.Contains('\u001b', StringComparison.Ordinal));
    }

    [Fact]
    public void The_line_falls_to_the_tank_and_the_water_rises_below_its_mark()
    {
        var lines = PlanChart.Draw(Page.Picture, 80, false, Page.Clock.Text).ToList();
        var first = lines.Skip(1).Take(6).Select(line => line.IndexOf('*', StringComparison.Ordinal)).Where(column => column >= 0).ToArray();
        Assert.Equal(first.Order(), first); // the first star of each row moves right as the line falls
        Assert.Contains("=", lines[8], StringComparison.Ordinal);
        Assert.DoesNotContain("*", lines[8].Split("mark")[0][..30], StringComparison.Ordinal); // no water at the mark in the first hours
    }

    [Fact]
    public void The_text_in_its_place_ends_when_the_valve_closes()
    {
        var lines = PlanChart.Table(Page.Picture, Page.Clock.Text).ToList();
        Assert.StartsWith("after  0.0 h,     20:00:    1.6 L,    410 µS/cm, 19.5 °C", lines[0], StringComparison.Ordinal);
        Assert.StartsWith("after  8.8 h, Sun 04:45:    9.5 L,    223 µS/cm", lines[5], StringComparison.Ordinal);
        Assert.EndsWith("even, valve closes", lines[6], StringComparison.Ordinal);
    }

    [Fact]
    public void The_table_of_ways_fits_eighty_columns()
    {
        var small = DemoStation.Read();
        small = small with { Match = small.Match with { ToleranceMicrosiemensPerCm = 20 }, Room = new() { TemperatureCelsius = 15 } };
        var page = PlanPage.Of(small, Page.Clock);
        Assert.True(page.Ways.Count > 7, $"{page.Ways.Count} ways");
        Assert.All(page.Ways, (way, i) => Assert.InRange(WaysText.Row(i + 1, way, page.Clock.Text, "0.0").Length, 30, 80));
        // Of a tank of 5000 L; and of a cup, of which a tenth of a litre is a third.
        Assert.EndsWith(" 131 L  130 L  0.0 L    21.0/21.0", WaysText.Row(1, Held(131.4, 129.8), page.Clock.Text, "0.0"), StringComparison.Ordinal);
        Assert.EndsWith(" 0.29 L 0.24 L 0.00 L    21.0/21.0", WaysText.Row(1, Held(0.29, 0.24), page.Clock.Text, "0.00"), StringComparison.Ordinal);

        Core.Planning.Way Held(double litres, double inflow) => page.Ways[0] with
        {
            EndLitres = litres, InflowLitres = inflow, WasteLitres = 0, TemperatureHolds = true,
            SettlesAt = Core.Quantities.Temperature.FromCelsius(21), RestsAt = Core.Quantities.Temperature.FromCelsius(21),
        };
    }

    [Theory] // 1.05 times the mark, 0.45 and 10.4 L; of the jar it had been "0", as at the bottom
    [InlineData(0.1, 0.5, 0.05, "   0.5 ")]
    [InlineData(1.6, 11.6, 1.2, "    11 ")]
    public void The_axis_of_a_jar_is_told_in_tenths(double start, double brim, double free, string top)
    {
        var demo = DemoStation.Read();
        var jar = PlanPage.Of(demo with { Vessel = demo.Vessel with { StartVolumeLitres = start, StartVolumeSdLitres = 0.002, BrimLitres = brim, FreeboardLitres = free }, Match = demo.Match with { ToleranceMicrosiemensPerCm = 100, DwellMinutes = 1 } }, Page.Clock);
        var lines = PlanChart.Draw(jar.Picture, 80, false, Page.Clock.Text).SkipWhile(line => line != "Water in the vessel, L").ToList();
        Assert.StartsWith(top, lines[1], StringComparison.Ordinal);
    }

    [Fact]
    public void A_keeper_s_hours_are_found_on_both_sides_of_midnight()
    {
        // Begun at 20:00; awake 7 to 23, away 8 to 18: there until 3 h, 11 to 12 h, 22 to 27 h, 35 to 36 h, 46 to 48 h.
        var spans = KeeperHours.Present(new() { LeavesAtHour = 8, BackAtHour = 18 }, Page.Clock, null, null);
        Assert.Equal([(0, 3), (11, 12), (22, 27), (35, 36), (46, 48)], spans.Select(s => (Math.Round(s.FromHours, 6), Math.Round(s.ToHours, 6))));
        // What is asked for goes before the usual day, but nobody draws water asleep.
        Assert.Equal([(0, 1), (16, 27), (35, 48)], KeeperHours.Present(new() { LeavesAtHour = 8, BackAtHour = 18 }, Page.Clock, 1, 16).Select(s => (Math.Round(s.FromHours, 6), Math.Round(s.ToHours, 6))));
        // A start that was reckoned is a tick short of its minute: five minutes of sleep were taken for waking.
        var early = new PlanClock(Page.Clock.Start.AddTicks(-1), TimeZoneInfo.Utc);
        Assert.Equal(Page.Clock.At(KeeperHours.Present(new(), Page.Clock, null, null)[0].ToHours), early.At(KeeperHours.Present(new(), early, null, null)[0].ToHours), TimeSpan.FromSeconds(1));
    }
}
