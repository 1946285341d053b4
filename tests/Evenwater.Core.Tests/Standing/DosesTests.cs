using Evenwater.Core.Keeping;
using Evenwater.Core.Standing;
using Evenwater.CoreTests.Stations;

namespace Evenwater.CoreTests.Standing;

public class DosesTests
{
    private static readonly DateTimeOffset Start = new(2026, 3, 1, 9, 0, 0, TimeSpan.Zero);

    private static Note Dose(int n, double day, string of, double amount, string unit = "mL") =>
        new() { Id = $"n{n}", Kind = NoteKind.Dose, At = Start.AddDays(day), By = "keeper", Text = of, Amount = amount, Unit = unit };

    private static Note Water(int n, double day, NoteKind kind, double litres) => new() { Id = $"n{n}", Kind = kind, At = Start.AddDays(day), By = "keeper", Litres = litres };

    [Fact] // by hand, 100 L: 10 mL, half changed, 10 mL more: 5 + 10 mL in 100 L; the other thing has its own sum
    public void What_is_left_of_each_thing_is_told_by_its_name_and_unit()
    {
        var book = Book.Of([Dose(1, 0, "Iron", 10), Dose(2, 0, "salt", 30, "g"), Water(3, 7, NoteKind.WaterChange, 50), Dose(4, 8, "iron ", 10)]);
        var all = Doses.Of(book, 100, Start.AddDays(30));
        Assert.Equal([("iron", "mL", 2, 20.0, 0.15), ("salt", "g", 1, 30.0, 0.15)], all.Select(dosed => (dosed.Of, dosed.Unit, dosed.Count, dosed.Amount, Math.Round(dosed.LeftPerLitre, 12))));
        Assert.All(all, dosed => Assert.Null(dosed.Swing));
        Assert.Equal(10, Doses.Of(book, 100, Start.AddDays(1))[0].Amount);
    }

    [Fact] // by hand: 7 mL a week against a quarter a week in 100 L: 0.28 before each change, 0.21 after it
    public void A_rhythm_of_both_tells_where_it_leads()
    {
        var notes = Enumerable.Range(0, 5).SelectMany(week => new[] { Dose((2 * week) + 1, (7 * week) + 1, "iron", 7), Water((2 * week) + 2, 7 * week, NoteKind.WaterChange, 25) });
        var (low, high) = Assert.Single(Doses.Of(Book.Of(notes), 100, Start.AddDays(35))).Swing!.Value;
        Assert.Equal((0.21, 0.28), (Math.Round(low, 12), Math.Round(high, 12)));
    }

    [Theory] // three of each make a rhythm; 6 mL in the mean against a fifth and three tenths and a quarter, a quarter in the mean: 6 / (0.25 x 100) before each change
    [InlineData(3, 3, 0.24)]
    [InlineData(2, 3, null)]
    [InlineData(3, 2, null)]
    public void Twice_is_no_rhythm_and_the_mean_of_three_tells(int doses, int changes, double? before)
    {
        double[] amounts = [5, 8, 5], litres = [20, 30, 25];
        Note[] notes = [.. Enumerable.Range(0, doses).Select(i => Dose(i + 1, 7 * i, "iron", amounts[i])), .. Enumerable.Range(0, changes).Select(i => Water(i + 11, (7 * i) + 1, NoteKind.WaterChange, litres[i]))];
        var swing = Assert.Single(Doses.Of(Book.Of(notes), 100, Start.AddDays(16))).Swing;
        Assert.Equal(before is null, swing is null);
        Assert.Equal(before ?? 0, swing?.BeforeChange ?? 0, 1e-9);
    }

    [Fact]
    public void Three_of_one_and_the_same_minute_are_no_rhythm() => Assert.Null(Assert.Single(Doses.Of(Book.Of(
        [.. Enumerable.Range(0, 3).Select(i => Dose(i + 1, 1, "iron", 5)), .. Enumerable.Range(0, 3).Select(i => Water(i + 11, 7 * i, NoteKind.WaterChange, 20))]), 100, Start.AddDays(15))).Swing);

    [Theory] // doses on the days 1, 8, ... 29 and changes on the days 0, 7, ... 28: twice seven days after the last of either it has stopped
    [InlineData(41.9, true)]
    [InlineData(42.1, false)]
    public void What_is_no_longer_done_is_not_told_as_if_it_went_on(double day, bool goesOn)
    {
        var notes = Enumerable.Range(0, 5).SelectMany(week => new[] { Dose((2 * week) + 1, (7 * week) + 1, "iron", 7), Water((2 * week) + 2, 7 * week, NoteKind.WaterChange, 25) }).ToList();
        Assert.Equal(goesOn, Assert.Single(Doses.Of(Book.Of(notes), 100, Start.AddDays(day))).Swing is not null);
        Note[] changed = [.. notes, Water(11, 35, NoteKind.WaterChange, 25), Water(12, 42, NoteKind.WaterChange, 25)]; // the doses alone have stopped then
        Assert.Null(Assert.Single(Doses.Of(Book.Of(changed), 100, Start.AddDays(43.1))).Swing);
        Assert.NotNull(Assert.Single(Doses.Of(Book.Of(changed), 100, Start.AddDays(42.9))).Swing);
    }

    [Fact] // by hand: 6 + 9 L over the ten days after the first; the air by the formula at 60 and 40 %, a third to either side
    public void Water_that_is_lost_is_told_in_three_ways()
    {
        var book = Book.Of([Water(1, 0, NoteKind.TopOff, 5), Water(2, 4, NoteKind.TopOff, 6), Water(3, 10, NoteKind.TopOff, 9)]);
        var lost = WaterLost.Of(River.Station, [], 23, book, Start);
        Assert.Equal(1.5, lost.ByTopOffs);
        Assert.Null(lost.BySalt);
        double Air(double humidity) => 24e-3 * Core.Water.Evaporation.GramsPerHour(0.48, 23, 22.5, humidity, 0);
        Assert.Equal(Air(0.6) * 2 / 3, lost.ByAir!.Value.Low, 1e-12);
        Assert.Equal(Air(0.4) * 4 / 3, lost.ByAir!.Value.High, 1e-12);
        Assert.Null(WaterLost.Of(River.Station with { Tank = new() { Covered = true } }, [], 23, book, Start).ByAir);
        Assert.Null(WaterLost.Of(River.With(source: source => source with { SurfaceAreaSquareMetres = 101 }), [], 23, book, Start).ByAir); // a pond beyond the formula
        Assert.Null(WaterLost.Of(River.Station, [], 51, book, Start).ByAir);
        Assert.Null(WaterLost.Of(River.Station, [], 23, book, Start.AddDays(1)).ByTopOffs); // two alone
    }

    [Fact] // by hand, 100 L: 10 mL are there; half is changed and 10 mL more are given with the same minute to both: 5 + 10 mL, as new water is dosed; the other way round it would be 10
    public void A_dose_and_a_water_change_of_one_minute_leave_the_most_that_they_can()
    {
        var book = Book.Of([Dose(1, 0, "iron", 10), Dose(2, 7, "iron", 10), Water(3, 7, NoteKind.WaterChange, 50)]);
        Assert.Equal(0.15, Assert.Single(Doses.Of(book, 100, Start.AddDays(30))).LeftPerLitre, 1e-12);
    }

    [Theory] // by hand: 80 L of 100 at once leave a fifth of 10 mL; 150 L can only have flowed through, and what is mixed with what flows through falls as e^(-150/100) = 0.2231
    [InlineData(80, 0.02)]
    [InlineData(150, 0.02231)]
    public void A_change_of_more_than_the_tank_holds_leaves_what_flowing_through_leaves(double litres, double leftPerLitre)
    {
        var book = Book.Of([Dose(1, 0, "iron", 10), Water(2, 1, NoteKind.WaterChange, litres)]);
        Assert.Equal(leftPerLitre, Assert.Single(Doses.Of(book, 100, Start.AddDays(30))).LeftPerLitre, 1e-5);
    }

    [Fact] // by hand: three jugs within ten minutes make up for a time that nobody knows; with 6 L on the fourth day and 9 L on the tenth it is 1.5 L a day
    public void Jugs_of_one_filling_are_one_top_off()
    {
        Note[] jugs = [Water(1, 0, NoteKind.TopOff, 2), Water(2, 0.003, NoteKind.TopOff, 2), Water(3, 0.007, NoteKind.TopOff, 2)];
        double? Rate(params Note[] later) => WaterLost.Of(River.Station, [], 23, Book.Of([.. jugs, .. later]), Start).ByTopOffs;
        Assert.Null(Rate());
        Assert.Null(Rate(Water(4, 4, NoteKind.TopOff, 6)));
        Assert.Equal(1.5, Rate(Water(4, 4, NoteKind.TopOff, 6), Water(5, 10, NoteKind.TopOff, 9)));
    }

    [Fact] // as by hand above: 10 mL, half changed, 10 mL more; and 15 L in ten days
    public void Only_notes_of_their_kind_that_tell_how_much_count()
    {
        var (change, dose, top) = (Water(1, 7, NoteKind.WaterChange, 50), Dose(2, 0, "iron", 10), Water(4, 0, NoteKind.TopOff, 5));
        var book = Book.Of([
            change, dose, Dose(3, 8, "iron", 10), top, Water(5, 4, NoteKind.TopOff, 6), Water(6, 10, NoteKind.TopOff, 9),
            change with { Id = "n7", At = Start.AddDays(9), Litres = null }, dose with { Id = "n8", Amount = null }, dose with { Id = "n9", Unit = null },
            dose with { Id = "n10", Kind = NoteKind.Medication }, top with { Id = "n11", At = Start.AddDays(12), Litres = null },
        ]);
        var dosed = Assert.Single(Doses.Of(book, 100, Start.AddDays(30)));
        Assert.Equal((2, 20.0, 0.15), (dosed.Count, dosed.Amount, Math.Round(dosed.LeftPerLitre, 12)));
        Assert.Equal(1.5, WaterLost.Of(River.Station, [], 23, Book.Of(book.Standing.Where(note => note.Kind != NoteKind.WaterChange).Append(change with { At = Start.AddDays(14) })), Start).ByTopOffs);
    }

    [Theory] // the formula's own range, 0 to 50 °C of water and room
    [InlineData(0, 22.5, true)]
    [InlineData(50, 22.5, true)]
    [InlineData(-0.1, 22.5, false)]
    [InlineData(23, 0, true)]
    [InlineData(23, 50, true)]
    [InlineData(23, -0.1, false)]
    [InlineData(23, 50.1, false)]
    public void What_the_air_takes_is_told_within_the_range_of_its_formula(double water, double room, bool told) =>
        Assert.Equal(told, WaterLost.Of(River.Station with { Room = River.Station.Room with { TemperatureCelsius = room } }, [], water, Book.Of([]), Start).ByAir is not null);

    [Fact]
    public void Where_a_top_off_works_by_itself_the_salt_tells_nothing_of_what_is_lost()
    {
        var month = Enumerable.Range(0, 480).Select(hour => new Stretch(Start.AddHours(hour), TimeSpan.FromHours(1), 185)).ToList();
        Assert.NotNull(WaterLost.Of(River.Station, month, 23, Book.Of([]), Start).BySalt);
        Assert.Null(WaterLost.Of(River.With(source: source => source with { AutomaticTopOff = true }), month, 23, Book.Of([]), Start).BySalt);
    }
}
