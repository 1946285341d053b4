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

    private static IEnumerable<Cause> Likely(IReadOnlyList<Candidate> all) => all.Where(one => one.Score > -5).Select(one => one.Cause);
}
