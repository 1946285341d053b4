using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;
using Evenwater.CoreTests.Stations;

namespace Evenwater.CoreTests.Keeping;

public class ArrivalTests
{
    private static readonly DateTimeOffset Evening = new(2026, 3, 14, 20, 0, 0, TimeSpan.Zero);
    private static readonly ArrivalRecord Fish = new()
    {
        Species = "rice fish", Count = 6, Grams = 3, Group = AnimalGroup.FreshwaterFish, HoursInTransit = 20, MicrosiemensPerCm = 410, Celsius = 19.5, Ph = 6.8,
        TotalAmmoniaMilligramsPerLitre = 3, NitriteMilligramsPerLitre = 0.1,
    };

    [Fact]
    public void What_can_be_is_accepted_at_both_ends_of_every_range()
    {
        Assert.Empty(Fish.Problems());
        Assert.Empty(new ArrivalRecord { Species = "snails", Count = 1 }.Problems());
        Assert.Empty((Fish with { Count = 100_000, Grams = 1e6, HoursInTransit = 0, MicrosiemensPerCm = 0, Celsius = -2, Ph = 4, TotalAmmoniaMilligramsPerLitre = 0, NitriteMilligramsPerLitre = 0 }).Problems());
        Assert.Empty((Fish with { HoursInTransit = 240, MicrosiemensPerCm = 250_000, Celsius = 45, Ph = 10, TotalAmmoniaMilligramsPerLitre = 200, NitriteMilligramsPerLitre = 100 }).Problems());
    }

    [Fact]
    public void A_group_is_known_by_its_name_and_any_other_word_is_none()
    {
        Assert.All(AnimalGroups.All, group => Assert.Equal(group, AnimalGroups.Named(AnimalGroups.Name(group))));
        Assert.Equal(AnimalGroup.FreshwaterShrimp, AnimalGroups.Named("freshwaterShrimp"));
        Assert.Null(AnimalGroups.Named("shrimp"));
        Assert.Null(AnimalGroups.Named(null));
    }

    public static TheoryData<string, string> Impossible => new()
    {
        { "species", "" }, { "count", "0" }, { "grams", "0" }, { "hours", "-1" }, { "conductivity", "250001" }, { "temperature", "46" }, { "ph", "15" }, { "ph", "NaN" },
        { "ammonia", "-0.5" }, { "nitrite", "-1" },
    };

    [Theory]
    [MemberData(nameof(Impossible))]
    public void An_impossible_reading_is_refused_by_key_value_range_and_advice(string key, string value)
    {
        var number = double.TryParse(value, out var read) ? read : 0;
        var problem = Assert.Single((key switch
        {
            "species" => Fish with { Species = value },
            "count" => Fish with { Count = (int)number },
            "grams" => Fish with { Grams = number },
            "hours" => Fish with { HoursInTransit = number },
            "conductivity" => Fish with { MicrosiemensPerCm = number },
            "temperature" => Fish with { Celsius = number },
            "ph" => Fish with { Ph = number },
            "ammonia" => Fish with { TotalAmmoniaMilligramsPerLitre = number },
            _ => Fish with { NitriteMilligramsPerLitre = number },
        }).Problems());
        Assert.Equal(key, problem.Key);
        Assert.Contains(value, problem.Value, StringComparison.Ordinal);
        Assert.NotEmpty(problem.Allowed);
        Assert.NotEmpty(problem.Advice);
    }

    [Fact]
    public void The_station_takes_the_bag_s_water_and_what_nobody_measured_of_it_is_unknown()
    {
        var file = River.Station with { Waters = River.Station.Waters with { BagPh = 7.9 }, Arrival = new() { HoursInTransit = 3, TotalAmmoniaMilligramsPerLitre = 9 } };
        var measured = Fish.On(file);
        Assert.Equal((410.0, 19.5, 6.8), (measured.Waters.BagMicrosiemensPerCm, measured.Waters.BagTemperatureCelsius, measured.Waters.BagPh));
        Assert.Equal((20.0, 3.0), (measured.Arrival.HoursInTransit, measured.Arrival.TotalAmmoniaMilligramsPerLitre));
        var unknown = (Fish with { MicrosiemensPerCm = null, Ph = null, HoursInTransit = null, TotalAmmoniaMilligramsPerLitre = null }).On(file);
        Assert.Equal((file.Waters.BagMicrosiemensPerCm, null, null, null), (unknown.Waters.BagMicrosiemensPerCm, unknown.Waters.BagPh, unknown.Arrival.HoursInTransit, unknown.Arrival.TotalAmmoniaMilligramsPerLitre));
        Assert.Equal(file.Waters.TankMicrosiemensPerCm, measured.Waters.TankMicrosiemensPerCm);
    }

    [Fact]
    public void A_look_is_due_a_day_and_a_week_after_the_release_until_it_is_noted()
    {
        var released = Book.Of([Arrived("n1"), Looked("n2", Look.Release, 12)]);
        Assert.Empty(Due(released, 35.9));
        Assert.Equal([Look.Day], Due(released, 36));
        Assert.Equal([Look.Day, Look.Week], Due(released, 12 + 168));
        Assert.Empty(Due(released, 12 + 168 + (30 * 24)));
        Assert.Equal([Look.Week], Due(Book.Of([Arrived("n1"), Looked("n2", Look.Release, 12), Looked("n3", Look.Day, 37)]), 12 + 168));
        Assert.Empty(Due(Book.Of([Arrived("n1"), Looked("n2", Look.Release, 12), Looked("n3", Look.Week, 181)]), 182));
        Assert.Empty(Due(Book.Of([Arrived("n1")]), 2000));
        Assert.Equal([Look.Day], Due(Book.Of([Arrived("n1"), Looked("n2", Look.Release, 12), Looked("n3", Look.Day, 37), Looked("n4", Look.Day, 38) with { Corrects = "n3", Withdrawn = true, Outcome = null }]), 40));
    }

    [Fact]
    public void A_look_is_to_come_until_it_is_due_or_noted()
    {
        var released = Assert.Single(Arrivals.Of(Book.Of([Arrived("n1"), Looked("n2", Look.Release, 12)])));
        Assert.Equal([(Look.Day, Evening.AddHours(36)), (Look.Week, Evening.AddHours(12 + 168))], released.ToCome(Evening.AddHours(13)));
        Assert.Equal([Look.Week], released.ToCome(Evening.AddHours(36)).Select(one => one.Look));
        Assert.Empty(released.ToCome(Evening.AddHours(12 + 168)));
        Assert.Equal([Look.Week], Assert.Single(Arrivals.Of(Book.Of([Arrived("n1"), Looked("n2", Look.Release, 12), Looked("n3", Look.Day, 30)]))).ToCome(Evening.AddHours(31)).Select(one => one.Look));
        Assert.Empty(Assert.Single(Arrivals.Of(Book.Of([Arrived("n1")]))).ToCome(Evening));
    }

    [Theory] // Of six.
    [InlineData(0, null)]
    [InlineData(null, 6)]
    [InlineData(0, 6)]
    public void Nobody_is_asked_to_look_at_animals_of_which_none_lives(int? alive, int? dead)
    {
        var gone = Looked("n3", Look.Day, 37);
        var book = Book.Of([Arrived("n1"), Looked("n2", Look.Release, 12), gone with { Outcome = gone.Outcome! with { Alive = alive, Dead = dead } }]);
        Assert.Empty(Due(book, 12 + 168));
        Assert.Empty(Assert.Single(Arrivals.Of(book)).ToCome(Evening.AddHours(40)));
    }

    [Fact]
    public void An_outcome_stays_with_its_arrival_when_that_is_corrected()
    {
        var book = Book.Of([Arrived("n1"), Looked("n2", Look.Release, 12), Arrived("n3") with { Corrects = "n1", Arrival = Fish with { Count = 7 } }]);
        var came = Assert.Single(Arrivals.Of(book));
        Assert.Equal(("n3", 7, 1), (came.Note.Id, came.Animals.Count, came.Outcomes.Count));
        Assert.Null(Arrivals.LatestOpen(book));
        Assert.Equal("n3", Arrivals.Find(book, "n1")!.Note.Id);
        Assert.Null(Arrivals.Find(book, "n9"));
    }

    [Fact]
    public void More_than_came_can_not_be_found() => Assert.Contains(
        "at most the 6 that came", Assert.Single(new OutcomeRecord { Arrival = "n1", Look = Look.Day, Alive = 6, Dead = 1 }.Problems(Book.Of([Arrived("n1")]))).ToString(), StringComparison.Ordinal);

    [Theory]
    [InlineData(7, null, "alive")]
    [InlineData(null, 7, "dead")]
    public void More_than_came_can_not_be_found_when_one_of_both_was_counted(int? alive, int? dead, string key)
    {
        var problem = Assert.Single(new OutcomeRecord { Arrival = "n1", Look = Look.Day, Alive = alive, Dead = dead }.Problems(Book.Of([Arrived("n1")])));
        Assert.Equal(key, problem.Key);
        Assert.Contains("at most the 6 that came", problem.ToString(), StringComparison.Ordinal);
    }

    [Theory] // fewer than none would hide behind the other: -1 and 3 are 2 of the 6
    [InlineData(-1, 3, "alive")]
    [InlineData(3, -1, "dead")]
    public void Nobody_counts_fewer_than_none(int alive, int dead, string key) =>
        Assert.Equal(key, Assert.Single(new OutcomeRecord { Arrival = "n1", Look = Look.Day, Alive = alive, Dead = dead }.Problems(Book.Of([Arrived("n1")]))).Key);

    [Fact]
    public void Of_several_that_are_still_to_be_let_in_the_latest_is_meant() => Assert.Equal("n2", Arrivals.LatestOpen(Book.Of([Arrived("n1"), Arrived("n2", 1)]))!.Note.Id);

    [Theory]
    [InlineData(5, "count: 5. Allowed: at least the 6 that were counted, n2. Count again, or correct n2 first.")]
    [InlineData(6, "")]
    public void Fewer_than_were_found_can_not_have_come(int came, string expected) => Assert.Equal(
        expected, string.Concat(NoteRules.Problems(Arrived("") with { Corrects = "n1", Arrival = Fish with { Count = came } }, Book.Of([Arrived("n1"), Looked("n2", Look.Release, 12), Looked("n3", Look.Day, 37)]), null)));

    /// <summary>From the release the looks after a day and a week are counted: a second one would put them off, and a look without any would never be asked for again.</summary>
    [Fact]
    public void Animals_are_let_in_once_and_looked_at_after_that()
    {
        var (came, released) = (Arrived("n1"), Looked("n2", Look.Release, 12));
        var back = Looked("n3", Look.Release, 13) with { Corrects = "n2", Withdrawn = true, Outcome = null };
        Assert.Equal("look: \"release\". Allowed: once for n1: n2 tells it. Correct n2, or say that it is the look after a day or a week.", Wrong(Looked("", Look.Release, 14), came, released));
        Assert.Equal("", Wrong(Looked("", Look.Release, 14) with { Corrects = "n2" }, came, released));
        Assert.Equal("", Wrong(Looked("", Look.Release, 14), came, released, back));
        Assert.Contains("n4 tells it", Wrong(Looked("", Look.Release, 12) with { Corrects = "n3" }, came, released, back, Looked("n4", Look.Release, 14)), StringComparison.Ordinal);
        Assert.Equal("", Wrong(Looked("", Look.Day, 37), came, released));
        Assert.StartsWith("look: \"24h\". Allowed: after the release, and n1 has none in the book.", Wrong(Looked("", Look.Day, 37), came), StringComparison.Ordinal);
        Assert.Equal("", Wrong(Looked("", Look.Release, 14) with { Outcome = released.Outcome! with { Arrival = null } }, came, released));

        static string Wrong(Note note, params Note[] book) => string.Concat(NoteRules.Problems(note, Book.Of(book), null));
    }

    [Fact]
    public void A_run_s_arrival_is_the_one_it_names_else_the_latest_before_its_end_that_no_other_run_has()
    {
        var (early, late) = (Arrived("n1", -60), Arrived("n2", -3));
        var other = Looked("n3", Look.Release, 1) with { Outcome = new() { Arrival = "n2", Run = 9, Look = Look.Release } };
        Assert.Equal("n1", Arrivals.OfRun(Book.Of([early, late]), "n1", 4, Evening, Evening.AddHours(12))!.Note.Id);
        Assert.Equal("n2", Arrivals.OfRun(Book.Of([early, late]), null, 4, Evening, Evening.AddHours(12))!.Note.Id);
        Assert.Null(Arrivals.OfRun(Book.Of([early]), null, 4, Evening, Evening.AddHours(12))); // more than two days before
        Assert.Equal("n2", Arrivals.OfRun(Book.Of([Arrived("n1", -47), late]), null, 4, Evening, Evening.AddHours(12))!.Note.Id);
        Assert.Equal("n1", Arrivals.OfRun(Book.Of([Arrived("n1", -47), late, other]), null, 4, Evening, Evening.AddHours(12))!.Note.Id);
        Assert.Equal("n2", Arrivals.OfRun(Book.Of([late, other]), null, 9, Evening, Evening.AddHours(12))!.Note.Id);
        Assert.Equal("n2", Arrivals.OfRun(Book.Of([late, other with { Outcome = other.Outcome! with { Run = null } }]), null, 4, Evening, Evening.AddHours(12))!.Note.Id);
        Assert.Null(Arrivals.OfRun(Book.Of([late, other]), null, 4, Evening, Evening.AddHours(12)));
        Assert.Null(Arrivals.OfRun(Book.Of([Arrived("n1", 13)]), null, 4, Evening, Evening.AddHours(12)));
    }

    private static IEnumerable<Look> Due(Book book, double hours) => Arrivals.Of(book).Single().Due(Evening.AddHours(hours)).Select(due => due.Look);

    private static Note Arrived(string id, double hours = 0) => new() { Id = id, Kind = NoteKind.Arrival, At = Evening.AddHours(hours), By = "Ann", Arrival = Fish };

    private static Note Looked(string id, Look look, double hours) =>
        new() { Id = id, Kind = NoteKind.Outcome, At = Evening.AddHours(hours), By = "Ann", Outcome = new() { Arrival = "n1", Look = look, Alive = 6, Dead = 0 } };
}
