using Evenwater.Core.Keeping;
using Evenwater.Core.Standing;
using Evenwater.Core.Stations;
using Evenwater.CoreTests.Stations;

namespace Evenwater.CoreTests.Standing;

public class TankRecordTests
{
    private static readonly DateTimeOffset Now = new(2026, 6, 29, 10, 30, 0, TimeSpan.Zero);
    private static readonly TimeSpan Quarter = TimeSpan.FromMinutes(15);
    private static readonly Station Lit = River.With(sensors: sensors => sensors with { Light = new() }) with { Tank = new() { MaxCelsius = 25 } };

    private static IReadOnlyList<Stretch> Days(int days, Func<DateTimeOffset, double> value) =>
        [.. Enumerable.Range(0, days * 96).Select(i => Now.AddDays(-days) + (i * Quarter)).Select(at => new Stretch(at, Quarter, value(at)))];

    private static TankRecord Of(Station station, Dictionary<Channel, IReadOnlyList<Stretch>> past, params Note[] notes) => TankRecord.Of(station, past, Book.Of(notes), Now, TimeZoneInfo.Utc);

    [Fact]
    public void A_tank_that_warmed_in_the_night_is_unusual_and_beyond_its_limit_and_its_conductivity_is_neither()
    {
        var record = Of(Lit, new()
        {
            [Channel.TankConductivity] = Days(28, _ => 185),
            [Channel.TankTemperature] = Days(28, at => at > Now.AddHours(-6) ? 26 : 23),
            [Channel.TankLight] = Days(28, at => at.Hour is >= 8 and < 18 ? 9000 : 2),
        });
        Assert.Equal([(Channel.TankConductivity, false, false), (Channel.TankTemperature, true, true), (Channel.TankLight, false, false)],
            record.Channels.Select(channel => (channel.Channel, channel.Unusual!.Value, channel.BeyondLimit!.Value)));
        Assert.Equal(23, record.Channels[1].Usual!.Value.Median);
        Assert.Equal((10, 2.5), (Math.Round(record.Light[^2].LitHours, 9), Math.Round(record.Light[^1].LitHours, 9)));
    }

    [Fact]
    public void A_probe_that_fell_silent_two_hours_ago_can_not_be_told_of()
    {
        var record = Of(Lit, new() { [Channel.TankTemperature] = [.. Days(28, _ => 23).Where(stretch => stretch.To <= Now.AddHours(-2))] });
        Assert.Equal((null, null, null, Now.AddHours(-2)), (record.Channels[1].Now, record.Channels[1].BeyondLimit, record.Channels[1].Unusual, record.Channels[1].LastAt));
        Assert.Equal((null, false, null), (record.Channels[0].Now, record.Channels[0].BeyondLimit, record.Channels[0].LastAt));
    }

    [Fact] // A change of water 28.5 days ago, in the readings' 29 days: 200 before, 185 ever since, and nothing is lost.
    public void A_water_change_at_the_very_beginning_of_the_readings_is_no_water_lost_to_the_air()
    {
        var changed = Now.AddDays(-28.5);
        var lost = Of(Lit, new() { [Channel.TankConductivity] = Days(29, at => at < changed ? 200 : 185) }, new Note { Id = "n1", Kind = NoteKind.WaterChange, At = changed, By = "Ann", Litres = 30 }).WaterLost.BySalt!.Value;
        Assert.Equal((0, false), (Math.Round(lost.LitresPerDay, 6), lost.Tells));
    }

    [Fact]
    public void What_is_not_fitted_is_not_shown() =>
        Assert.Equal([Channel.TankConductivity, Channel.TankTemperature], Of(River.Station, []).Channels.Select(channel => channel.Channel));

    [Fact]
    public void The_last_two_tests_of_each_kind_stand_beside_each_other()
    {
        Note Test(string id, Substance of, double value, int day) => new() { Id = id, Kind = NoteKind.Test, At = Now.AddDays(day), By = "Ann", Test = new() { Of = of, Value = value, Step = 5 } };
        var record = Of(Lit, [], Test("n1", Substance.Nitrate, 10, -30), Test("n2", Substance.CarbonateHardness, 4, -9), Test("n3", Substance.Nitrate, 20, -2), Test("n4", Substance.Nitrate, 25, -1));
        Assert.Equal([("n4", "n3"), ("n2", null)], record.Tests.Select(test => (test.Last.Id, test.Before?.Id)));
    }
}
