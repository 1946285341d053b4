using Evenwater.Core.Review.Comparing;

namespace Evenwater.CoreTests.Review.Comparing;

public class ComparisonTests
{
    private const int Days = 60;

    // Few in every run; as many as you like by hand: EVENWATER_TANKS=1000.
    private static readonly int Drawn = int.TryParse(Environment.GetEnvironmentVariable("EVENWATER_TANKS"), out var asked) ? asked : 20;

    private static readonly CompareSpans Spans = new(Made.Start.AddDays(50).AddHours(9));

    // 500 µS/cm with 0.3 % and 25 °C with 0.1 °C of noise that remembers nine tenths of each hour, a day's course of 0.5 °C, a lamp from 8 to 18 h.
    private static List<Quarters> Tank(Made made, Func<int, double>? perCent = null, Func<int, double>? celsius = null, Func<int, bool>? lit = null, double memory = 0.974, double wander = 0)
    {
        var (salt, heat, slow) = (made.Remembering(96 * Days, memory), made.Remembering(96 * Days, memory), made.Remembering(Days + 2, 0.9));
        double Slow(int i) => wander * ((slow[i / 96] * (1 - (i % 96 / 96.0))) + (slow[(i / 96) + 1] * (i % 96 / 96.0)));
        return
        [
            Made.Quarters(Channel.TankConductivity, Days, i => 500 * Math.Exp(((0.3 * salt[i]) + Slow(i) + (perCent?.Invoke(i) ?? 0)) / 100)),
            Made.Quarters(Channel.TankTemperature, Days, i => 25 + (0.1 * heat[i]) + (0.5 * Math.Sin(2 * Math.PI * i / 96)) + (celsius?.Invoke(i) ?? 0)),
            Made.Quarters(Channel.TankLight, Days, i => (lit ?? (q => q % 96 is >= 32 and < 72))(i) ? 8000 + (100 * made.Normal()) : 5),
        ];
    }

    private static int QuarterOf(DateTimeOffset at) => (int)((at - Made.Start).TotalMinutes / 15);

    private static IReadOnlyList<ChannelCompared> Of(List<Quarters> tank) => Comparison.Of(tank, Spans, [], TimeZoneInfo.Utc);

    [Fact]
    public void A_tank_that_stands_still_is_said_to_have_changed_in_at_most_one_of_ten()
    {
        var made = new Made(7);
        var (said, calm) = (0, 0);
        for (var i = 0; i < Drawn; i++)
        {
            var told = Of(Tank(made));
            said += told.SelectMany(one => one.Figures).Any(one => one.Changed || one.Verdict == Verdict.LessThanMatters) ? 1 : 0;
            calm += told[1][Figure.Level]!.Verdict == Verdict.AsBefore ? 1 : 0;
        }

        Assert.InRange(said / (double)Drawn, 0, Comparison.FalseShare);
        Assert.True(calm > Drawn / 2, $"{calm} of {Drawn} temperatures said to be as before");
        TestContext.Current.TestOutputHelper?.WriteLine($"{said} of {Drawn} tanks said to have changed, {calm} temperatures as before");
    }

    [Fact] // 4 % of noise that remembers nine tenths of each day: no interval from two weeks can know of it, the tank's other days do
    public void A_tank_that_wanders_for_days_shows_as_large_differences_on_other_days()
    {
        var made = new Made(11);
        var (stood, said) = (0, 0);
        for (var i = 0; i < Drawn; i++)
        {
            var level = Of(Tank(made, wander: 4))[0][Figure.Level]!;
            stood += level.OtherDays is not null ? 1 : 0;
            said += level.Changed ? 1 : 0;
        }

        Assert.True(stood > 0, "none stood out by its interval: nothing was tried");
        Assert.True(said < stood, "no other day took any credit away");
        Assert.InRange(said / (double)Drawn, 0, 0.15);
        TestContext.Current.TestOutputHelper?.WriteLine($"{stood} of {Drawn} stood out by their interval, {said} were said to have changed");
    }

    [Fact]
    public void A_step_is_found_with_its_size_its_direction_and_no_other_day_like_it()
    {
        var told = Of(Tank(new Made(3), celsius: i => i >= QuarterOf(Spans.At) ? -0.8 : 0));
        var level = told[1][Figure.Level]!;
        Assert.Equal(Verdict.Lower, level.Verdict);
        Assert.InRange(-0.8, level.Difference!.Value.Low, level.Difference.Value.High);
        Assert.True(level.OtherDays!.Value.Days >= 20);
        Assert.Equal(0, level.OtherDays.Value.AsLarge);
        Assert.Equal(Verdict.AsBefore, told[0][Figure.Level]!.Verdict);
        Assert.DoesNotContain(told.SelectMany(one => one.Figures), one => one.Changed && one != level);
        Assert.Empty(told[1].Hours!);
    }

    [Fact] // the lamp burns two hours longer: 10 to 12 h; those hours of the day are brighter, the mean by 2/24 of 8000
    public void A_longer_day_of_light_is_told_in_hours_and_in_which_hours()
    {
        var told = Of(Tank(new Made(5), lit: i => i % 96 is >= 32 && i % 96 < (i >= QuarterOf(Spans.At) ? 80 : 72)))[2];
        Assert.Equal(2, told[Figure.LitHours]!.Difference!.Value.Value, 0.01);
        Assert.Equal(Verdict.Higher, told[Figure.LitHours]!.Verdict);
        Assert.InRange(told[Figure.Level]!.Difference!.Value.Value, 600, 735);
        Assert.Equal([18, 19], told.Hours!.Select(hour => hour.Hour)); // and no hour at which the lamp burns as ever, though the day's mean rose
        Assert.All(told.Hours!, hour => Assert.InRange(hour.Difference.Value, 7600, 8100));
    }

    [Fact] // a thermometer of sixteenths that stood still, then goes up or down by one each two hours: 0.0625 / 8 a quarter, where it can not tell less than 0.001 from nothing: eight times as much
    public void What_stood_still_by_its_device_s_steps_is_not_told_to_have_become_restless_without_end()
    {
        var told = Of([Made.Quarters(Channel.TankTemperature, Days, i => i >= QuarterOf(Spans.At) && i / 8 % 2 == 1 ? 25.0625 : 25)])[0][Figure.Restlessness]!;
        Assert.Equal(681, DidWords.Told(Channel.TankTemperature, Figure.Restlessness, told.Difference!.Value.Value), 20.0);
        Assert.Equal("0.001", DidWords.SayOwn(Channel.TankTemperature, Figure.Restlessness, told.Before!.Value.Value));
    }

    [Fact] // as above, and after it each second day the hour from 12 is not read
    public void An_hour_of_light_that_was_not_read_is_not_one_of_darkness()
    {
        var tank = Tank(new Made(5), lit: i => i % 96 is >= 32 && i % 96 < (i >= QuarterOf(Spans.At) ? 80 : 72));
        var light = tank[2] with { Seen = [.. tank[2].Seen.Select((lux, i) => i >= QuarterOf(Spans.At) && i / 96 % 2 == 0 && i % 96 is >= 48 and < 52 ? null : lux)] };
        Assert.Equal(2, Of([light])[0][Figure.LitHours]!.Difference!.Value.Value, 0.01);
    }

    [Fact] // swing of 0.5 sin: 1 °C from top to bottom; twice that after
    public void A_larger_daily_swing_is_told_apart_from_the_level()
    {
        var told = Of(Tank(new Made(9), celsius: i => i >= QuarterOf(Spans.At) ? 0.5 * Math.Sin(2 * Math.PI * i / 96) : 0))[1];
        Assert.Equal(Verdict.Higher, told[Figure.DailySwing]!.Verdict);
        Assert.Equal(1, told[Figure.DailySwing]!.Difference!.Value.Value, 0.25);
        Assert.False(told[Figure.Level]!.Changed);
        Assert.NotEmpty(told.Hours!);
    }

    [Fact]
    public void What_trembles_twice_as_much_is_more_restless_and_no_higher()
    {
        var (made, tremble) = (new Made(13), new Made(14));
        double[] extra = [.. Enumerable.Range(0, 96 * Days).Select(_ => tremble.Normal())];
        var told = Of(Tank(made, perCent: i => (i >= QuarterOf(Spans.At) ? 0.4 : 0.05) * extra[i]))[0];
        Assert.Equal(Verdict.Higher, told[Figure.Restlessness]!.Verdict);
        Assert.False(told[Figure.Level]!.Changed);
    }

    [Fact]
    public void What_was_on_its_way_before_is_not_the_change_s_doing()
    {
        var told = Of(Tank(new Made(17), perCent: i => 1.0 * i / 96))[0][Figure.Level]!;
        Assert.Equal(Verdict.OnItsWay, told.Verdict);
        Assert.InRange(told.GoingOn!.Value.Value, 6, 10);
    }

    [Fact] // 3 of the 7 days before are left: less than half
    public void Half_of_a_side_unread_is_too_little_and_says_why()
    {
        var (from, to) = (QuarterOf(Spans.From), QuarterOf(Spans.From.AddDays(4)));
        var told = Comparison.Of([Made.Quarters(Channel.TankTemperature, Days, i => i >= from && i < to ? null : 25)], Spans, [], TimeZoneInfo.Utc)[0];
        Assert.Contains("of the hours before were read", told.TooLittle, StringComparison.Ordinal);
        Assert.Empty(told.Figures);
    }

    [Fact]
    public void A_probe_in_a_standard_for_two_hours_is_left_out_and_a_day_that_is_otherwise_is_not()
    {
        var at = QuarterOf(Spans.From) + 96;
        Assert.Equal(2, Side.Of(Made.Quarters(Channel.TankConductivity, Days, i => i >= at && i < at + 8 ? 1413 : 500 + (i % 3)), Spans.From, 7, TimeZoneInfo.Utc).LeftOut);
        Assert.Equal(0, Side.Of(Made.Quarters(Channel.TankConductivity, Days, i => i >= at && i < at + 96 ? 550 : 500 + (i % 3)), Spans.From, 7, TimeZoneInfo.Utc).LeftOut);
    }

    [Fact]
    public void Days_on_which_something_else_was_done_are_no_other_days()
    {
        var tank = Tank(new Made(3), celsius: i => i >= QuarterOf(Spans.At) ? -0.8 : 0);
        var every = Comparison.Of(tank, Spans, [.. Enumerable.Range(0, Days).Select(day => Made.Start.AddDays(day))], TimeZoneInfo.Utc)[1][Figure.Level]!;
        Assert.Equal(0, every.OtherDays!.Value.Days);
    }

    [Fact] // a quarter's step is 0.2 or 0.4 % of 500, 95 of them some 25 %; back from 1413 is one of 104 %, four times all the others of its day together
    public void Hours_that_are_left_out_make_no_side_more_restless()
    {
        var at = QuarterOf(Spans.From) + 96;
        Side Of(Func<int, double?> seen) => Side.Of(Made.Quarters(Channel.TankConductivity, Days, seen), Spans.From, 7, TimeZoneInfo.Utc);
        var (calm, bath) = (Of(i => 500 + (i % 3)), Of(i => i >= at && i < at + 8 ? 1413 : 500 + (i % 3)));
        Assert.Equal(2, bath.LeftOut);
        Assert.Equal(SideFigures.Plain(calm, Figure.Restlessness)!.Value, SideFigures.Plain(bath, Figure.Restlessness)!.Value, 2.0);
    }
}
