using Evenwater.Core;
using Evenwater.Core.Keeping;
using Evenwater.Core.Standing;
using Evenwater.Core.Stations;
using Evenwater.Keeping;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Keeping;

/// <summary>A tank's record in words: that its numbers and plurals say what is so. 240 L with a surface of 0.48 m².</summary>
public class TankTextTests
{
    private static readonly DateTimeOffset Now = new(2026, 6, 29, 10, 30, 0, TimeSpan.Zero);
    private static readonly Station Fed = LogFolder.Station("tank") with { Routine = [new() { Kind = Chore.Feed, DueEveryDays = 7 }] };

    private static Note Note(string id, NoteKind kind, TimeSpan ago) => new() { Id = id, Kind = kind, At = Now - ago, WrittenAt = Now, By = "Ann" };

    private static List<string> Lines(Station station, Func<double, double>? conductivityByDay, params Note[] notes)
    {
        var quarter = TimeSpan.FromMinutes(15);
        IReadOnlyList<Stretch> Past(Func<double, double> ofDay) => [.. Enumerable.Range(0, 20 * 96).Select(i => new Stretch(Now.AddDays(-20) + (i * quarter), quarter, ofDay(i / 96.0)))];
        Dictionary<Channel, IReadOnlyList<Stretch>> past = new() { [Channel.TankTemperature] = Past(_ => 24) };
        if (conductivityByDay is { } known) past[Channel.TankConductivity] = Past(known);
        return [.. TankText.Of(TankRecord.Of(station, past, Book.Of(notes), Now, TimeZoneInfo.Utc), TimeZoneInfo.Utc)];
    }

    private static string Line(List<string> lines, string begin) => Assert.Single(lines, line => line.StartsWith(begin, StringComparison.Ordinal));

    /// <summary>Half the world reads "1,500" as one and a half, and a comma is refused where a number is typed.</summary>
    [Theory] // by hand: 1500 mg in 240 L are 6.25 mg/L, 0.01 mL in them 0.00004 mL/L
    [InlineData(1500, "mg", "iron: 1500 mg in 1, last 2026-06-28 10:30; left at most 1500 mg in the tank (6.25 mg/L)")]
    [InlineData(1, "tablets", "iron: 1 tablet in 1, last 2026-06-28 10:30; left at most 1 tablet in the tank (0.00417 tablets/L)")]
    [InlineData(0.01, "mL", "iron: 0.01 mL in 1, last 2026-06-28 10:30; left at most 0.01 mL in the tank (less than 0.0001 mL/L)")]
    public void Amounts_are_told_in_plain_digits(double amount, string unit, string expected) => Assert.EndsWith(
        expected, Line(Lines(Fed, null, Note("n1", NoteKind.Dose, TimeSpan.FromDays(1)) with { Text = "iron", Amount = amount, Unit = unit }), "doses"), StringComparison.Ordinal);

    [Fact] // 0.01 / √12 = 0.0029
    public void A_fine_scale_is_not_told_as_exact() =>
        Assert.Equal("PO4 0.02 mg/L ± 0.0029", TankText.Reading(new() { Of = Substance.Phosphate, Value = 0.02, Step = 0.01 }));

    [Theory]
    [InlineData(6 * 24 * 60, "feed: in 1 day, last ")]
    [InlineData((7 * 24 * 60) - 20, "feed: in less than an hour, last ")]
    [InlineData(8 * 24 * 60, "feed: OVERDUE by 1 day, last ")]
    [InlineData(5 * 24 * 60, "feed: in 2 days, last ")]
    public void One_is_told_as_one_and_a_time_that_is_not_over_as_some(double minutesAgo, string expected) =>
        Assert.Contains(expected, Line(Lines(Fed, null, Note("n1", NoteKind.Feed, TimeSpan.FromMinutes(minutesAgo))), "due"), StringComparison.Ordinal);

    [Theory]
    [InlineData(24.04, null, 24.0, "24.04 °C; usual at this hour: can't tell yet, 0 of 14 days; ABOVE your limit of 24")]
    [InlineData(23.96, 24.0, null, "23.96 °C; usual at this hour: can't tell yet, 0 of 14 days; BELOW your limit of 24")]
    [InlineData(25.26, null, 24.0, "25.3 °C; usual at this hour: can't tell yet, 0 of 14 days; ABOVE your limit of 24")]
    [InlineData(24.0, null, 24.0, "24 °C; usual at this hour: can't tell yet, 0 of 14 days")]
    public void What_is_beyond_a_limit_reads_so(double celsius, double? least, double? most, string expected) =>
        Assert.Equal(expected, TankChannelText.Of(new(Channel.TankTemperature, celsius, Now, null, least, most), Now));

    /// <summary>Told as usual it was not between the two it stood beside, and told as higher than usual it was.</summary>
    [Theory]
    [InlineData(23.3, 0.1, "23.3 °C; usual at this hour of 20 days 22.8 to 23.2: at the upper end")]
    [InlineData(22.7, 0.1, "22.7 °C; usual at this hour of 20 days 22.8 to 23.2: at the lower end")]
    [InlineData(23.2, 0.1, "23.2 °C; usual at this hour of 20 days 22.8 to 23.2: as usual")]
    [InlineData(23.2, 0.03, "23.2 °C; usual at this hour of 20 days 22.8 to 23.2: HIGHER than on most of them, at 23")]
    [InlineData(22.8, 0.03, "22.8 °C; usual at this hour of 20 days 22.8 to 23.2: LOWER than on most of them, at 23")]
    [InlineData(23.6, 0.1, "23.6 °C; usual at this hour of 20 days 22.8 to 23.2: HIGHER than usual")]
    public void Where_a_reading_lies_follows_from_the_span_told_beside_it(double celsius, double sd, string expected) =>
        Assert.StartsWith(expected, TankChannelText.Of(new(Channel.TankTemperature, celsius, Now, new HourBaseline(20, 23, 22.8, 23.2, sd), null, null), Now), StringComparison.Ordinal);

    [Fact]
    public void Why_the_salt_tells_nothing_is_told_as_it_is()
    {
        Assert.EndsWith("can't tell, an automatic top-off puts back what is lost", Line(Lines(Fed with { Source = Fed.Source with { AutomaticTopOff = true } }, _ => 185), "water lost"), StringComparison.Ordinal);
        Assert.EndsWith("can't tell, there is no conductivity probe in the tank", Line(Lines(Fed with { Sensors = Fed.Sensors with { TankConductivity = null } }, null), "water lost"), StringComparison.Ordinal);
        Assert.EndsWith("no whole day between two water changes, top-offs or doses", Line(Lines(Fed, null), "water lost"), StringComparison.Ordinal);
    }

    [Fact] // by hand: 0.25 % a day less salt in each litre of 240 L is 0.6 L a day more water (0.61 by conductivity's power of 0.983), which is no loss of -0.61 L
    public void What_gets_fresher_is_not_told_as_a_loss()
    {
        var lost = Line(Lines(Fed, day => 185 * Math.Exp(-0.0025 * day)), "water lost");
        Assert.Contains("nothing is lost by it: conductivity falls as if 0.61 ± 0.0", lost, StringComparison.Ordinal);
        Assert.DoesNotContain("-0.61", lost, StringComparison.Ordinal);
    }

    [Fact] // by hand: 0.25 % of 240 L is 0.6 L, and 3 % is 7.3 L; an open surface of 0.48 m² at 24 °C gives 1 to 4 L
    public void Where_salt_and_surface_differ_it_is_said_and_why_that_may_be()
    {
        List<string> Rising(double share, bool covered = false) => Lines(Fed with { Tank = new() { Covered = covered } }, day => 185 * Math.Exp(share * day));
        Assert.Single(Rising(0.0025), line => line.Trim().StartsWith("the salt tells of less than an open surface gives: ", StringComparison.Ordinal));
        Assert.Single(Rising(0.03), line => line.Trim().StartsWith("the salt tells of more than an open surface gives: ", StringComparison.Ordinal));
        Assert.DoesNotContain(Rising(0.01), line => line.Contains("than an open surface gives", StringComparison.Ordinal));
        Assert.DoesNotContain(Rising(0.0025, covered: true), line => line.Contains("than an open surface gives", StringComparison.Ordinal));
    }

    /// <summary>What was dosed is called as the note says, which may have lines, and is one line of a list here.</summary>
    [Fact]
    public void What_was_dosed_takes_one_line_whatever_its_note_says() => Assert.StartsWith(
        "iron and more: 5 mL in 1, ",
        TankBudgetText.Dose(new Dosed("iron\nand \u202Emore", "mL", 1, 5, new(2026, 3, 14, 12, 0, 0, TimeSpan.Zero), 0.02, null), 240, TimeZoneInfo.Utc),
        StringComparison.Ordinal);
}
