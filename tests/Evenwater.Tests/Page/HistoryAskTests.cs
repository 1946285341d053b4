using Evenwater.Core;
using Evenwater.Core.Charting;
using Evenwater.Page;
using Evenwater.Page.Charts;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.WebUtilities;

namespace Evenwater.Tests.Page;

/// <summary>What an address asks for, and that the links of a view ask for the same again.</summary>
public sealed class HistoryAskTests
{
    private static readonly DateTimeOffset s_now = new(2026, 3, 2, 6, 30, 0, TimeSpan.FromHours(1));

    [Theory]
    [InlineData("span=night", 14, 0)]
    [InlineData("", 14, 0)]
    [InlineData("span=year", 8760, 0)]
    [InlineData("from=-36h", 36, 0)]
    [InlineData("from=-90m&to=now", 1.5, 0)]
    [InlineData("from=-7d&to=2026-03-01T06:30Z", 168, 23)]
    [InlineData("from=2026-03-01T20:00&to=2026-03-02T06:00", 10, 0.5)]
    [InlineData("from=2026-03-01T20:00Z&to=2026-03-02T05:00Z", 9, 0.5)]
    public void Spans_are_as_long_as_they_say_and_end_so_many_hours_before_now(string query, double hours, double before)
    {
        var ask = Read(query);
        Assert.Equal((hours, before), (Math.Round((ask.To - ask.From).TotalHours, 6), Math.Round((s_now - ask.To).TotalHours, 6)));
    }

    [Theory]
    [InlineData("span=week&channel=tank_temperature&channel=sim-lagoon/tank_temperature")]
    [InlineData("from=2026-03-01T20:00:07Z&to=2026-03-02T05:00Z&compare=before&swings=1")]
    [InlineData("from=-7d&compare=own&compareFrom=2025-12-24")]
    public void The_fixed_link_of_a_view_asks_for_the_same_whenever_it_is_opened(string query)
    {
        var ask = Read(query);
        var again = Read(ask.Fixed, s_now.AddDays(3));
        Assert.Equal((ask.From, ask.To, ask.Compared, ask.Swings), (again.From, again.To, again.Compared, again.Swings));
        Assert.Equal(ask.Channels, again.Channels);
        Assert.Null(again.Following);
    }

    [Fact]
    public void The_link_that_follows_the_clock_is_there_for_a_named_span_and_moves_with_it()
    {
        var ask = Read("span=week&channel=tank_temperature");
        Assert.Equal("span=week&channel=sim-river/tank_temperature", ask.Following);
        Assert.Equal(s_now.AddDays(3), Read(ask.Following!, s_now.AddDays(3)).To);
        Assert.Null(Read("from=2026-03-01&to=2026-03-02").Following);
    }

    [Fact]
    public void A_place_s_clock_is_told_from_each_of_its_changes_on()
    {
        var zone = TimeZoneInfo.CreateCustomTimeZone("Here", TimeSpan.FromHours(1), "Here", "Here", "Here in summer",
            [TimeZoneInfo.AdjustmentRule.CreateAdjustmentRule(new(2026, 1, 1), new(2026, 12, 31), TimeSpan.FromHours(1),
                TimeZoneInfo.TransitionTime.CreateFixedDateRule(new(1, 1, 1, 2, 0, 0), 3, 29), TimeZoneInfo.TransitionTime.CreateFixedDateRule(new(1, 1, 1, 3, 0, 0), 10, 25))]);
        var from = new DateTimeOffset(2026, 1, 1, 12, 7, 0, TimeSpan.Zero);
        Assert.Equal(
            [(from, 60), (new(2026, 3, 29, 1, 0, 0, TimeSpan.Zero), 120), (new(2026, 10, 25, 1, 0, 0, TimeSpan.Zero), 60)],
            StationZone.Offsets(zone, from, from.AddDays(360)));
    }

    /// <summary>The journal goes by this machine's place; a demo's history of weeks in which clocks were changed told the same note an hour beside it. By the tz database they went back on 25 October at 01:00 UTC.</summary>
    [Fact]
    public void A_simulated_station_s_past_has_the_clocks_of_this_place_where_it_keeps_its_time()
    {
        var berlin = TimeZoneInfo.FindSystemTimeZoneById("Europe/Berlin");
        var view = MadeUp.Night(1) with { Now = new(2026, 11, 2, 20, 0, 0, TimeSpan.FromHours(1)) };
        Assert.Same(berlin, StationZone.Of(view, berlin));
        Assert.Equal(TimeSpan.Zero, StationZone.Of(view with { Now = view.Now.ToUniversalTime() }, berlin).GetUtcOffset(view.Now.AddDays(-20)));
        Assert.Same(berlin, StationZone.Of(view with { Now = view.Now.ToUniversalTime(), Simulated = false }, berlin));

        var words = new HistoryWords(Read("span=month", view.Now) with { Zone = berlin });
        Assert.Equal(["Sun 25 Oct 01:30", "Sun 25 Oct 02:30+02:00", "Sun 25 Oct 02:30+01:00", "Sun 25 Oct 03:30"], Enumerable.Range(-1, 4).Select(hours => words.When(new DateTimeOffset(2026, 10, 25, 0, 30, 0, TimeSpan.Zero).AddHours(hours))));
    }

    [Theory]
    // By hand: 0.004 an hour is 0.096 a day; two digits of the largest end, which is 0.12.
    [InlineData(0.004, 0.001, 10, "+0.10 a day (+0.07 to +0.12)")]
    [InlineData(-0.25, 0.05, 1, "-0.25 an hour (-0.30 to -0.20)")]
    [InlineData(0.001, 0.002, 1, "can't tell: -0.0010 to +0.0030 an hour")]
    public void A_slope_is_told_with_its_range_and_not_at_all_when_that_holds_both_signs(double perHour, double half, int days, string words) =>
        Assert.Equal(words, new HistoryWords(Read($"from=-{days}d")).Slope(new Trend(perHour, half)));

    [Theory]
    [InlineData("from=2026-03-01T20:00&to=2026-03-02T06:00", "Sun 1 Mar 20:00", "Mon 2 Mar 06:00")]
    [InlineData("from=2025-12-01T20:00&to=2026-03-02T06:00", "Mon 1 Dec 2025 20:00", "Mon 2 Mar 2026 06:00")]
    public void When_a_span_begins_in_another_year_both_its_ends_tell_theirs(string query, string from, string to)
    {
        var ask = Read(query);
        var words = new HistoryWords(ask);
        Assert.Equal((from, to), (words.When(ask.From), words.When(ask.To)));
    }

    private static HistoryAsk Read(string query, DateTimeOffset? now = null)
    {
        var board = new StationBoard(new SteppedTime());
        board.Post(MadeUp.Night(1) with { Now = now ?? s_now });
        board.Post(MadeUp.Night(1, "sim-lagoon") with { Now = now ?? s_now });
        var (ask, refused) = AskReading.Of(new QueryCollection(QueryHelpers.ParseQuery(query)), board, "sim-river", _ => [Channel.TankTemperature]);
        Assert.Empty(refused);
        return ask!;
    }
}
