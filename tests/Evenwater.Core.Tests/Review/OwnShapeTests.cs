using Evenwater.Core.Keeping;
using Evenwater.Core.Review;
using static Evenwater.CoreTests.Review.MadeTank;

namespace Evenwater.CoreTests.Review;

/// <summary>Each cause comes first where the water did what that cause alone does, and is not told where it did not.</summary>
public class OwnShapeTests
{
    private static Happened Known => new() { TankLitres = 100, RoomCelsius = 20 };

    // As salty as the sea where it is said, in %: conductivity is reckoned in logarithms.
    private static readonly double Sea = 100 * Math.Log(50_000 / 500.0);

    private static Dictionary<Channel, Course> Tank(Func<int, double> percent, Func<int, double>? celsius = null) => new()
    {
        [Channel.TankConductivity] = MadeTank.Of(Channel.TankConductivity, percent),
        [Channel.TankTemperature] = MadeTank.Of(Channel.TankTemperature, celsius ?? (_ => 0)),
    };

    private static IReadOnlyList<Candidate> Of(Dictionary<Channel, Course> tank, Happened known) => Causes.All(Episode.Of(tank, known)[0], tank, known);

    private static double Falls(int i, double aDay) => -aDay / 96 * Math.Max(0, i - Begins);

    /// <summary>By hand: 5 L of fresh water in 100 leave 0.95 of the salt, and 500 µS/cm go with it to the power 0.983; at 20 in 25 °C they take 0.25 °C, of which the heater gives some back.</summary>
    [Fact]
    public void Fresh_water_that_takes_the_place_of_what_evaporated_is_told_by_its_litres()
    {
        static double Thinner(int i) => i < Begins ? 0 : 98.3 * Math.Log(0.95);
        static double Colder(int i) => i < Begins ? 0 : -0.22 * Math.Exp(-(i - Begins) / 8.0);
        var first = Of(Tank(Thinner, Colder), Known)[0];
        Assert.Equal(Cause.TopOff, first.Cause);
        var litres = Assert.Single(first.Evidence, one => one.Text.EndsWith(" L of fresh water", StringComparison.Ordinal)).Text.Split(' ')[3];
        Assert.Equal(5, double.Parse(litres, System.Globalization.CultureInfo.InvariantCulture), 0.1);
        Assert.EndsWith(" where -0.2 is expected", Assert.Single(first.Evidence, one => one.Text.StartsWith("temperature, °C", StringComparison.Ordinal)).Text, StringComparison.Ordinal);
        // As much more salt is none, nor is what comes over days.
        Assert.DoesNotContain(Cause.TopOff, Likely(Of(Tank(i => -Thinner(i)), Known)));
        Assert.DoesNotContain(Cause.TopOff, Likely(Of(Tank(i => Falls(i, 2)), Known)));
    }

    /// <summary>Spray and crusts take half a per cent of a salt tank's salt a day; two per cent a day is more than leaves so, and fresh water has none to leave. Common practice, no source.</summary>
    [Theory]
    [InlineData(0.5, true, Cause.SaltCreep)]
    [InlineData(2, true, Cause.ProbeFouling)]
    [InlineData(0.5, false, Cause.NothingKnown)]
    public void What_falls_slowly_is_salt_or_film_by_how_fast_it_falls(double aDay, bool sea, Cause likeliest)
    {
        var all = Of(Tank(i => (sea ? Sea : 0) + Falls(i, aDay)), Known);
        Assert.Equal(likeliest, all[0].Cause);
        Assert.Equal(sea, Likely(all).Contains(Cause.SaltCreep));
    }

    [Theory] // a film that was wiped off: the cell reads more at once, and the book says why; without that it is something added
    [InlineData(true, Cause.ProbeFouling)]
    [InlineData(false, Cause.Dose)]
    public void A_cell_that_was_cleaned_reads_more_at_once(bool cleaned, Cause likeliest)
    {
        Note note = new() { Id = "n1", Kind = NoteKind.ProbeClean, At = At(Begins) };
        Assert.Equal(likeliest, Of(Tank(i => i < Begins ? 0 : 3), Known with { Notes = cleaned ? [note] : [] })[0].Cause);
    }

    [Fact] // nothing that is strewn in warms a tank by a degree
    public void What_rose_as_the_water_warmed_is_less_likely_a_dose()
    {
        double Dose(double celsius) => Of(Tank(i => i < Begins ? 0 : 4, i => i < Begins ? 0 : celsius), Known).Single(one => one.Cause == Cause.Dose).Score;
        Assert.Equal(4, Dose(0) - Dose(1), 6); // 1 for it, and 3 against it
    }

    /// <summary>4 % of salt and a degree at the same time, of which one alone was told as a swing: the other moved as well, unless something before was moving it still.</summary>
    [Theory]
    [InlineData(false, false, true)]
    [InlineData(false, true, false)]
    [InlineData(true, true, true)] // it swung anew
    public void What_moved_beside_it_is_held_against_a_cause_unless_it_was_on_its_way_before(bool swung, bool busy, bool against)
    {
        Swing salt = new(Channel.TankConductivity, Begins, Begins + 1, 4, 4, 0.1), heat = new(Channel.TankTemperature, Begins, Begins + 1, 4, 1, 0.02);
        double Score(Cause cause, Swing own, Swing other, double percent, double celsius) => Causes.All(
            new Episode(swung ? [own, other] : [own]) { Moving = busy ? [other.Channel] : [] },
            Tank(i => i < Begins ? 0 : percent, i => i < Begins ? 0 : celsius), Known).Single(one => one.Cause == cause).Score;
        var alone = (Dose: Score(Cause.Dose, salt, salt, 4, 0), Heater: Score(Cause.HeaterSchedule, heat, heat, 0, 1));
        Assert.Equal(against ? 4 : 0, alone.Dose - Score(Cause.Dose, salt, heat, 4, 1), 6);
        var both = Causes.All(new Episode([salt, heat]), Tank(i => i < Begins ? 0 : 4, i => i < Begins ? 0 : 1), Known).SelectMany(one => one.Evidence).ToList();
        Assert.Contains(both, one => one.Weight == -3 && one.Text.StartsWith("temperature moved by ", StringComparison.Ordinal));
        Assert.Contains(new("conductivity moved", -2), both);
        Assert.Equal(against ? 2.5 : 0, alone.Heater - Score(Cause.HeaterSchedule, heat, salt, 4, 1), 6);
    }

    [Theory] // lit three hours longer on the last evening, of which five hours are known
    [InlineData(1, true)]
    [InlineData(8, true)]
    [InlineData(9, false)] // more than two hours after it had begun to warm
    [InlineData(null, false)] // no swing of the light was told
    public void A_lamp_warms_the_water_only_where_it_changed_as_the_water_did(int? later, bool blamed)
    {
        const int Warms = (13 * 96) + 76;
        var tank = Tank(_ => 0, i => i < Warms ? 0 : 1);
        tank.Add(Channel.TankLight, MadeTank.Of(Channel.TankLight, i => i % 96 is >= 36 and < 76 || (i >= 13 * 96 && i % 96 is >= 76 and < 88) ? 9975 : -20));
        Swing heat = new(Channel.TankTemperature, Warms, Warms + 2, 4, 1, 0.02);
        var episode = new Episode(later is { } points ? [heat, new(Channel.TankLight, Warms + points, Warms + points + 1, 4, 9995, 1)] : [heat]);
        var all = Causes.All(episode, tank, Known);
        Assert.Equal(blamed, Likely(all).Contains(Cause.LightSchedule));
        if (blamed) Assert.Contains(new("conductivity did not move", 1), all.Single(one => one.Cause == Cause.LightSchedule).Evidence);
        Assert.Contains(all.Single(one => one.Cause == Cause.HeaterSchedule).Evidence, one => one == (blamed ? new Evidence("the light changed", -3) : new("the light is as ever", 0)));
    }

    /// <summary>4 % more, and from then on single readings scatter three times as wide: 3 less the 4 % that more salt scatters wider by, 2.88.</summary>
    [Theory]
    [InlineData(3, true)]
    [InlineData(1.6, false)] // below 1.7, the salt taken off or not
    public void What_scatters_as_no_water_does_was_made_by_no_water(double wider, bool ruledOut)
    {
        Swing salt = new(Channel.TankConductivity, Begins, Begins + 1, 4, 4, 0.1), scatter = new(Channel.TankConductivity, Begins, Begins + 8, 16, Math.Log(wider), 0.1, SwingShape.Unrest);
        var all = Causes.All(new Episode([salt, scatter]), Tank(i => i < Begins ? 0 : 4), Known);
        Assert.Equal(ruledOut ? Cause.NothingKnown : Cause.Dose, all[0].Cause);
        Assert.Equal(ruledOut, all.Single(one => one.Cause == Cause.Dose).Evidence.Any(one => one.Weight < -5 && one.Text.StartsWith("single readings scatter 2.88 times as wide", StringComparison.Ordinal)));
    }

    [Theory] // three quarters of an hour without a reading of any probe
    [InlineData(4, true)]
    [InlineData(30, false)] // seven hours before it began
    public void A_power_cut_explains_what_began_soon_after_it(int before, bool told)
    {
        bool Off(int i) => i >= Begins - before && i < Begins - before + 3;
        Dictionary<Channel, Course> tank = new()
        {
            [Channel.TankConductivity] = MadeTank.Of(Channel.TankConductivity, _ => 0, Off),
            [Channel.TankTemperature] = MadeTank.Of(Channel.TankTemperature, i => i < Begins ? 0 : -1, Off),
        };
        Assert.Equal(told, Likely(Causes.All(new Episode([new(Channel.TankTemperature, Begins, Begins + 1, 4, -1, 0.02)]), tank, Known)).Contains(Cause.PowerCut));
    }

    /// <summary>New water of 250 in 500 µS/cm, a third of it: 5/6 of the conductivity, ln 0.833 = -18.2 %, and it stays. More conductivity is no share of it; of new water that is not known both must move.</summary>
    [Theory]
    [InlineData(250.0, -18.2, -2, true)]
    [InlineData(250.0, 4, -2, false)]
    [InlineData(null, -5, -1, true)]
    [InlineData(null, -5, 0, false)]
    [InlineData(null, 0, -1, false)]
    public void A_water_change_moves_conductivity_towards_the_new_water_s_or_both_at_once(double? fresh, double percent, double celsius, bool likely)
    {
        Swing salt = new(Channel.TankConductivity, Begins, Begins + 1, 4, percent, 0.1), heat = new(Channel.TankTemperature, Begins, Begins + 1, 4, celsius, 0.02);
        var all = Causes.All(new Episode([.. new[] { salt, heat }.Where(one => one.Size != 0)]), Tank(i => i < Begins ? 0 : percent, i => i < Begins ? 0 : celsius), Known with { NewMicrosiemensPerCm = fresh });
        Assert.Equal(likely, Likely(all).Contains(Cause.WaterChange));
        if (fresh is not null && likely) Assert.Contains(all.Single(one => one.Cause == Cause.WaterChange).Evidence, one => one.Weight > 0 && one.Text.StartsWith("half a day later it is -16.", StringComparison.Ordinal));
    }

    [Theory] // a run over ten hours, 5 L of 100 replaced as they drip: -5 %
    [InlineData(0, true)]
    [InlineData(60, false)] // it had ended five hours before
    public void A_run_thins_while_it_drips(int earlier, bool likely)
    {
        var tank = Tank(i => -5.0 / 40 * Math.Clamp(i - Begins, 0, 40));
        var run = new DrippedOut(At(Begins - earlier), At(Begins + 40 - earlier), 5);
        Assert.Equal(likely, Likely(Of(tank, Known with { Runs = [run] })).Contains(Cause.SourceDrip));
    }

    [Theory] // of the very step, so many quarters of an hour later
    [InlineData(-40, false)]
    [InlineData(0, true)]
    [InlineData(40, false)]
    public void A_calibration_explains_what_came_as_it_took_effect(int later, bool likely)
    {
        var tank = Tank(i => i < Begins ? 0 : 4);
        var known = Known with { Calibrations = [new(Channel.TankConductivity, At(Begins + later), 4)] };
        Assert.Equal(likely, Likely(Causes.All(new Episode([new(Channel.TankConductivity, Begins, Begins + 1, 4, 4, 0.1)]), tank, known)).Contains(Cause.CalibrationStep));
    }

    [Fact] // whether a film damps it is told by the second and third day, of which there are no readings yet
    public void Of_what_began_yesterday_too_little_is_known_to_tell_a_film()
    {
        const int Yesterday = (14 * 96) - 100;
        var tank = Tank(i => -2.0 / 96 * Math.Max(0, i - Yesterday));
        var film = Causes.All(new Episode([new(Channel.TankConductivity, Yesterday, Yesterday + 48, 48, -1, 0.1, SwingShape.Slope)]), tank, Known).Single(one => one.Cause == Cause.ProbeFouling);
        Assert.Contains(new("too little to tell whether it moves less", 0), film.Evidence);
    }

    [Fact] // a dose of 5 mL is no meal of 5, one of the day before made nothing today, and what was fed without saying how much is no large one
    public void Meals_are_what_was_fed_and_measured()
    {
        Note Of(NoteKind kind, int point, double? amount) => new() { Kind = kind, At = At(point), Amount = amount };
        var known = Known with
        {
            Notes = [Of(NoteKind.Feed, 100, 1), Of(NoteKind.Feed, 200, 1), Of(NoteKind.Feed, 300, 1), Of(NoteKind.Feed, Begins - 100, 5), Of(NoteKind.Feed, Begins - 8, null), Of(NoteKind.Dose, Begins - 8, 5)],
        };
        var all = Causes.All(new Episode([new(Channel.TankConductivity, Begins, Begins + 20, 16, 0.5, 0.1, SwingShape.Slope)]), Tank(i => 2.0 / 96 * Math.Max(0, i - Begins)), known);
        Assert.Contains(new("no large meal in the book", 0), all.Single(one => one.Cause == Cause.Overfeeding).Evidence);
    }

    private static IEnumerable<Cause> Likely(IReadOnlyList<Candidate> all) => all.Where(one => one.Score > -5).Select(one => one.Cause);
}
