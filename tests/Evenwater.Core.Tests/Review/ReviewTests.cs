using Evenwater.Core.Keeping;
using Evenwater.Core.Review;
using Evenwater.Core.Standing;

namespace Evenwater.CoreTests.Review;

public class ReviewTests
{
    private const int Days = 20;
    private static readonly DateTimeOffset Start = new(2026, 6, 1, 0, 0, 0, TimeSpan.Zero);

    // Noise of 0.1 % and 0.03 °C about 500 µS/cm and 25 °C; what happens is added by quarter-hour.
    private static Dictionary<Channel, Course> Tank(Func<int, double> conductivity, Func<int, double> temperature, Func<int, bool>? missing = null)
    {
        var random = new Random(7);
        double Noise(double sd) => sd * (Enumerable.Range(0, 12).Sum(_ => random.NextDouble()) - 6);
        Course Of(Channel channel, Func<int, double> value) => Course.Of(
            channel, Enumerable.Range(0, Days * 96).Where(i => missing?.Invoke(i) != true).Select(i => new Stretch(Start.AddMinutes(15 * i), TimeSpan.FromMinutes(15), value(i))),
            Start, Start.AddDays(Days), TimeZoneInfo.Utc);
        return new()
        {
            [Channel.TankConductivity] = Of(Channel.TankConductivity, i => 500 * conductivity(i) * (1 + Noise(0.001))),
            [Channel.TankTemperature] = Of(Channel.TankTemperature, i => 25 + temperature(i) + (0.4 * Math.Sin(2 * Math.PI * i / 96)) + Noise(0.03)),
        };
    }

    private static (Episode Episode, IReadOnlyList<Candidate> Causes) Only(Dictionary<Channel, Course> courses, Happened happened)
    {
        var episode = Assert.Single(Episode.Of(courses, happened));
        return (episode, Causes.Of(episode, courses, happened));
    }

    private static Happened Known => new() { TankLitres = 100, NewMicrosiemensPerCm = 250, NewCelsius = 19, RoomCelsius = 20 };

    // 30 % of 250 in 500: 425, so 0.85; at 19 in 25 °C: 1.8 °C down, which a heater takes back by 0.6 °C an hour.
    private static double Changed(int i) => i < 960 ? 1 : 0.85;

    private static double Cooled(int i) => i < 960 ? 0 : Math.Min(0, -1.8 + (0.15 * (i - 960)));

    [Fact]
    public void A_water_change_is_told_by_two_shares_that_agree_though_no_book_says_so()
    {
        var (episode, causes) = Only(Tank(Changed, Cooled), Known);
        Assert.Equal(960, episode.At);
        Assert.Equal(Cause.WaterChange, causes[0].Cause);
        Assert.Contains(causes[0].Evidence, one => one.Text.StartsWith("conductivity would mean 30", StringComparison.Ordinal) || one.Text.StartsWith("conductivity would mean 29", StringComparison.Ordinal));
        Assert.Contains(causes[0].Evidence, one => one.Text.StartsWith("by temperature the share", StringComparison.Ordinal) && one.Weight > 1);
    }

    [Fact]
    public void Without_the_cold_the_same_fall_is_no_water_change()
    {
        var (_, causes) = Only(Tank(Changed, _ => 0), Known);
        Assert.NotEqual(Cause.WaterChange, causes[0].Cause);
        Assert.Equal(Cause.NothingKnown, causes[0].Cause);
    }

    [Fact]
    public void A_calibration_of_the_same_step_explains_it_and_one_of_another_does_not()
    {
        var courses = Tank(i => i < 960 ? 1 : 1.04, _ => 0);
        Happened With(double step) => Known with { Calibrations = [new(Channel.TankConductivity, Start.AddMinutes(15 * 960), step)] };
        Assert.Equal(Cause.CalibrationStep, Only(courses, With(3.9)).Causes[0].Cause);
        Assert.NotEqual(Cause.CalibrationStep, Only(courses, With(-3.9)).Causes[0].Cause);
    }

    [Fact]
    public void A_dose_stays_and_what_is_gone_half_a_day_later_is_nothing_known()
    {
        Assert.Equal(Cause.Dose, Only(Tank(i => i < 960 ? 1 : 1.04, _ => 0), Known).Causes[0].Cause);
        Assert.Equal(Cause.NothingKnown, Only(Tank(i => i is < 960 or > 975 ? 1 : 1.04, _ => 0), Known).Causes[0].Cause);
    }

    /// <summary>Clocks in Berlin went back by an hour on 25 October 2026, 01:00 UTC (Directive 2000/84/EC, articles 3 and 4). A lamp that warms the water by day goes by a timer that was set anew, or was not.</summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void When_clocks_are_changed_no_lamp_swings_whether_its_timer_was_set_anew_or_not(bool setAnew)
    {
        var (random, start) = (new Random(7), new DateTimeOffset(2026, 10, 6, 0, 0, 0, TimeSpan.Zero));
        var back = new DateTimeOffset(2026, 10, 25, 1, 0, 0, TimeSpan.Zero);
        double Noise() => 0.03 * (Enumerable.Range(0, 12).Sum(_ => random.NextDouble()) - 6);
        double Warm(DateTimeOffset at) => (at.AddHours(setAnew && at >= back ? 1 : 2).TimeOfDay.TotalHours + 15) % 24 is var lit && lit < 10 ? 0.8 * (1 - Math.Exp(-lit)) : 0.8 * Math.Exp(10 - lit);
        var course = Course.Of(
            Channel.TankTemperature, Enumerable.Range(0, 28 * 96).Select(i => start.AddMinutes(15 * i)).Select(at => new Stretch(at, TimeSpan.FromMinutes(15), 25 + Warm(at) + Noise())),
            start, start.AddDays(28), TimeZoneInfo.FindSystemTimeZoneById("Europe/Berlin"));
        Assert.Empty(Episode.Of(new Dictionary<Channel, Course> { [Channel.TankTemperature] = course }, Known));
    }

    [Fact]
    public void What_lies_days_apart_is_told_in_days() => Assert.Equal("1.5 days before it began", Causes.Apart(TimeSpan.FromHours(-36)));

    [Theory]
    [InlineData(-15, "at that time")]
    [InlineData(-20, "20 min before it began")]
    [InlineData(60, "1 h after it began")]
    public void The_book_s_note_is_one_of_the_numbers_and_says_when(double minutes, string when)
    {
        var note = new Note { Id = "n3", Kind = NoteKind.Dose, At = Start.AddMinutes((15 * 960) + minutes) };
        var (_, causes) = Only(Tank(i => i < 960 ? 1 : 1.04, _ => 0), Known with { Notes = [note] });
        Assert.Contains(causes[0].Evidence, one => one.Text.EndsWith($"(n3) {when}", StringComparison.Ordinal) && one.Weight > 0);
    }

    [Fact]
    public void Of_several_notes_the_nearest_is_named()
    {
        Note Dose(string id, double minutes) => new() { Id = id, Kind = NoteKind.Dose, At = Start.AddMinutes((15 * 960) + minutes) };
        var (_, causes) = Only(Tank(i => i < 960 ? 1 : 1.04, _ => 0), Known with { Notes = [Dose("n3", -30), Dose("n4", 0), Dose("n5", 30)] });
        Assert.Contains(causes[0].Evidence, one => one.Text.EndsWith("(n4) at that time", StringComparison.Ordinal));
    }

    [Fact]
    public void A_probe_in_the_air_and_a_power_cut_come_before_all_else()
    {
        Assert.Equal(Cause.ProbeOutOfWater, Only(Tank(i => i is < 960 or > 970 ? 1 : 0.01, _ => 0), Known).Causes[0].Cause);
        double Cold(int i) => i < 960 ? 0 : -2 * Math.Exp(-(i - 970) / 6.0);
        Assert.Equal(Cause.PowerCut, Only(Tank(_ => 1, Cold, i => i is >= 960 and < 970), Known).Causes[0].Cause);
    }

    [Fact]
    public void Noise_and_a_daily_course_alone_are_no_swing() =>
        Assert.Empty(Tank(_ => 1, _ => 0).Values.SelectMany(Swings.Of));

    // 2 % a day from the tenth day on, over four days: three sigmas of 0.1 % are passed after some four hours.
    private static double Rising(int i) => 1 + (0.02 / 96 * Math.Clamp(i - 960, 0, 384));

    [Fact]
    public void What_evaporates_is_found_within_hours_and_explained_by_its_rate()
    {
        var (episode, causes) = Only(Tank(Rising, _ => 0), Known);
        Assert.InRange(episode.At, 948, 972);
        Assert.InRange(episode.Swings[0].FoundAt, 961, 984);
        Assert.Equal(Cause.Evaporation, causes[0].Cause);
        Assert.Contains(causes[0].Evidence, one => one.Text.Contains("L a day", StringComparison.Ordinal) && one.Weight > 0);
    }

    [Fact]
    public void Two_things_within_a_day_are_two_episodes_each_with_its_own_cause()
    {
        // A water change on the tenth day at midnight and a dose eight hours later; the heater has taken the cold back meanwhile.
        var courses = Tank(i => Changed(i) * (i < 992 ? 1 : 1.05), Cooled);
        var episodes = Episode.Of(courses, Known);
        Assert.Equal([960, 992], episodes.Select(one => one.At));
        Assert.Equal([Cause.WaterChange, Cause.Dose], episodes.Select(one => Causes.Of(one, courses, Known)[0].Cause));
    }

    [Fact]
    public void What_comes_back_is_one_episode_and_what_happens_while_a_slope_goes_on_is_another()
    {
        Assert.Single(Episode.Of(Tank(i => i is < 960 or > 975 ? 1 : 1.04, _ => 0), Known));
        var courses = Tank(i => Rising(i) * (i < 1100 ? 1 : 0.96), _ => 0);
        var episodes = Episode.Of(courses, Known);
        Assert.Equal(2, episodes.Count);
        Assert.Equal(1100, episodes[1].At);
        Assert.Equal(Cause.Evaporation, Causes.Of(episodes[0], courses, Known)[0].Cause);
    }

    [Fact]
    public void A_run_that_drips_from_the_tank_explains_what_it_diluted()
    {
        var run = new DrippedOut(Start.AddMinutes(15 * 960), Start.AddMinutes(15 * 976), 6);
        double Diluted(int i) => Math.Pow(1 - (0.06 / 16), Math.Clamp(i - 960, 0, 16));
        var courses = Tank(Diluted, _ => 0);
        Assert.Equal(Cause.SourceDrip, Causes.Of(Episode.Of(courses, Known with { Runs = [run] })[0], courses, Known with { Runs = [run] })[0].Cause);
        Assert.DoesNotContain(Causes.Of(Episode.Of(courses, Known)[0], courses, Known), one => one.Cause == Cause.SourceDrip);
    }

    [Fact] // by hand: 110 L that are replaced as they drip leave e^(-110/100) = 0.333 of a tank of 100 L
    public void A_run_of_more_than_the_tank_holds_explains_what_it_diluted()
    {
        var known = Known with { Runs = [new DrippedOut(Start.AddMinutes(15 * 960), Start.AddMinutes(15 * 976), 110)] };
        var courses = Tank(i => Math.Exp(-1.1 / 16 * Math.Clamp(i - 960, 0, 16)), _ => 0);
        var first = Causes.Of(Episode.Of(courses, known)[0], courses, known)[0];
        Assert.Equal(Cause.SourceDrip, first.Cause);
        Assert.EndsWith(" where -66.71 is expected", first.Evidence[1].Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_run_that_takes_a_calibration_s_step_back_is_no_return_of_it_since_the_run_is_known()
    {
        // 3 % up by calibration, and four hours later 3 % down within two by a drip.
        double Seen(int i) => (i < 960 ? 1 : 1.03) * Math.Pow(1 - (0.03 / 8), Math.Clamp(i - 976, 0, 8));
        var known = Known with
        {
            Calibrations = [new(Channel.TankConductivity, Start.AddMinutes(15 * 960), 2.96)],
            Runs = [new DrippedOut(Start.AddMinutes(15 * 976), Start.AddMinutes(15 * 984), 3)],
        };
        var courses = Tank(Seen, _ => 0);
        Assert.Equal([Cause.CalibrationStep, Cause.SourceDrip], Episode.Of(courses, known).Select(one => Causes.Of(one, courses, known)[0].Cause));
        Assert.Single(Episode.Of(courses, Known));
    }

    [Fact]
    public void What_grows_hours_after_a_step_is_not_the_step_s()
    {
        var courses = Tank(i => (i < 930 ? 1 : 1.04) * Rising(i), _ => 0);
        var episodes = Episode.Of(courses, Known);
        Assert.Equal(2, episodes.Count);
        Assert.Equal(930, episodes[0].At);
        Assert.Equal(Cause.Evaporation, Causes.Of(episodes[1], courses, Known)[0].Cause);
    }

    [Fact] // by hand: 16.3 L of 100 and again leave 0.837 x 0.837 = 0.70 of the old water
    public void Two_buckets_are_one_water_change()
    {
        Note Bucket(string id, double minutes) => new() { Id = id, Kind = NoteKind.WaterChange, At = Start.AddMinutes((15 * 960) + minutes), Litres = 16.3 };
        var (_, causes) = Only(Tank(Changed, Cooled), Known with { Notes = [Bucket("n1", 0), Bucket("n2", 5)] });
        Assert.Equal(Cause.WaterChange, causes[0].Cause);
        var book = Assert.Single(causes[0].Evidence, one => one.Text.StartsWith("by the book's litres", StringComparison.Ordinal));
        Assert.EndsWith(" where 0.3 is expected", book.Text, StringComparison.Ordinal);
        Assert.InRange(book.Weight, 2.9, 3);
    }
}
