using Evenwater.Core.Estimation;
using Evenwater.Core.Standing;
using Evenwater.Core.Water;

namespace Evenwater.CoreTests.Standing;

public class EvaporationFromSaltTests
{
    private static readonly DateTimeOffset Start = new(2026, 6, 1, 0, 0, 0, TimeSpan.Zero);

    /// <summary>A tank that loses so much a day and is filled up again every so many days; its salt stays. Conductivity by the published scales, not by what is tested.</summary>
    private static (List<Stretch> Hours, List<DateTimeOffset> Acts) Tank(double litres, double lossPerDay, int topOffDays, int days, Func<double, double> conductivityOfConcentration, double noise)
    {
        var (hours, acts, generator) = (new List<Stretch>(), new List<DateTimeOffset>(), new Generator(7));
        for (var hour = 0; hour < 24 * days; hour++)
        {
            var sinceTopOff = (hour + 0.5) % (24 * topOffDays);
            if (hour > 0 && hour % (24 * topOffDays) == 0) acts.Add(Start.AddHours(hour));
            var concentration = litres / (litres - (lossPerDay * sinceTopOff / 24));
            hours.Add(new(Start.AddHours(hour), TimeSpan.FromHours(1), conductivityOfConcentration(concentration) * (1 + (noise * Normal.Inverse(Math.Max(generator.NextUniform(), 1e-12))))));
        }

        return (hours, acts);
    }

    [Fact] // sea water of 35 by PSS-78: 200 L losing 2 L a day, topped off every 4 days; salinity goes as 1/V, its mean over 4 days half of 4 % above the start
    public void A_salt_tank_loses_what_its_salinity_says()
    {
        var (hours, acts) = Tank(200, 2, 4, 20, c => 1000 * PracticalSalinity.MillisiemensPerCm(35 * c, 25), noise: 0.0005);
        var loss = EvaporationFromSalt.Of(hours, acts, 200)!.Value;
        Assert.Equal(2, loss.LitresPerDay, 0.06); // salt's share rises by 1/V(t): 1 to 4 % more than 1/200 towards the end of each stretch
        Assert.InRange(loss.SdLitresPerDay, 0, 0.05);
        Assert.True(loss.Tells);
        Assert.InRange(loss.Days, 18, 20);
    }

    [Theory] // two standard deviations off nothing, up or down
    [InlineData(0.41, true)]
    [InlineData(0.39, false)]
    [InlineData(-0.41, true)]
    [InlineData(-0.39, false)]
    public void A_loss_is_told_from_noise_as_a_gain_is(double litresPerDay, bool tells) => Assert.Equal(tells, new EvaporationFromSalt(litresPerDay, 0.2, 3).Tells);

    [Theory] // gsw 3.6.16, C_from_SP at 25 °C: 53 071 µS/cm are a salinity of 35, 17 024.3 of 10. Fresh water by its power, 1 / 0.983; where either of both is fresh, both are taken so
    [InlineData(53_071, 17_024.3, 10 / 35.0)]
    [InlineData(500, 550, 1.1018)]
    [InlineData(5000, 2500, 0.4941)] // 0.5 ^ 1.01729
    [InlineData(2500, 5000, 2.0241)]
    public void How_much_salt_a_change_of_conductivity_is(double before, double after, double ratio) => Assert.Equal(ratio, SaltMeasure.Ratio(before, 100 * Math.Log(after / before)), 0.0002);

    [Fact] // straight from conductivity it would be a tenth less: 1370 uS/cm a step of salinity at 35 against 53,065/35 = 1516
    public void Sea_water_is_not_judged_by_conductivity_alone()
    {
        var (hours, acts) = Tank(200, 2, 4, 20, c => 1000 * PracticalSalinity.MillisiemensPerCm(35 * c, 25), noise: 0);
        var first = hours[0].Mean;
        var last = hours[95].Mean;
        var naive = 200 * Math.Log(last / first) / (95 / 24.0);
        Assert.True(naive < 1.9);
        Assert.True(EvaporationFromSalt.Of(hours, acts, 200)!.Value.LitresPerDay > 1.98);
    }

    [Fact] // fresh water: 0.983 of the salt's share by potassium chloride's standards
    public void A_fresh_tank_loses_what_its_conductivity_says()
    {
        var (hours, acts) = Tank(240, 1.2, 7, 28, c => 185 * Math.Pow(c, 0.983), noise: 0.002);
        var loss = EvaporationFromSalt.Of(hours, acts, 240)!.Value;
        Assert.Equal(1.2, loss.LitresPerDay, 0.06);
        Assert.True(loss.Tells);
    }

    [Fact]
    public void A_closed_tank_tells_nothing_rather_than_noise()
    {
        var (hours, acts) = Tank(240, 0, 7, 28, c => 185 * c, noise: 0.002);
        var loss = EvaporationFromSalt.Of(hours, acts, 240)!.Value;
        Assert.False(loss.Tells);
        Assert.InRange(loss.LitresPerDay, -2 * loss.SdLitresPerDay, 2 * loss.SdLitresPerDay);
    }

    [Fact] // readings without a flaw: 0.02 % a day that no probe holds better, over sqrt 28 days, of 240 L
    public void However_well_it_is_read_the_probe_itself_has_its_doubt()
    {
        var (hours, acts) = Tank(240, 0, 40, 28, c => 185 * c, noise: 0);
        Assert.Equal(240 * 2e-4 / Math.Sqrt(28), EvaporationFromSalt.Of(hours, acts, 240)!.Value.SdLitresPerDay, 1e-9);
    }

    [Fact]
    public void An_hour_in_the_bath_or_dry_and_one_off_the_scale_change_nothing()
    {
        var (hours, acts) = Tank(200, 2, 4, 20, c => 1000 * PracticalSalinity.MillisiemensPerCm(35 * c, 25), noise: 0.0005);
        foreach (var (at, mean) in new[] { (50, 84.0), (51, 0.6), (200, 63_000.0), (300, 99_000.0) }) hours[at] = hours[at] with { Mean = mean };
        Assert.Equal(2, EvaporationFromSalt.Of(hours, acts, 200)!.Value.LitresPerDay, 0.06);
    }

    [Fact] // one stretch alone, since among several one that scatters so weighs little; 0.5 to 0.53 L of what is left of 240
    public void A_fresh_tanks_probe_in_a_standard_or_dry_changes_nothing()
    {
        var (hours, acts) = Tank(240, 0.5, 40, 28, c => 185 * Math.Pow(c, 0.983), noise: 0.002);
        foreach (var (at, mean) in new[] { (50, 1413.0), (51, 0.6), (600, 1413.0) }) hours[at] = hours[at] with { Mean = mean };
        Assert.Equal(0.515, EvaporationFromSalt.Of(hours, acts, 240)!.Value.LitresPerDay, 0.02);
    }

    [Fact]
    public void Brine_beyond_the_scale_of_salinity_is_told_as_fresh_water_is()
    {
        var (hours, acts) = Tank(240, 1.2, 7, 28, c => 90_000 * Math.Pow(c, 0.983), noise: 0);
        Assert.Equal(1.2, EvaporationFromSalt.Of(hours, acts, 240)!.Value.LitresPerDay, 0.06);
    }

    [Fact]
    public void A_tank_that_is_topped_off_every_day_has_no_day_to_tell_from()
    {
        var (hours, acts) = Tank(240, 1.2, 1, 10, c => 185 * c, noise: 0);
        Assert.Null(EvaporationFromSalt.Of(hours, [Start, .. acts], 240));
    }

    [Theory] // 0.5 L of 100 a day, beside a wander of 0.1 % with a memory of a day: two standard deviations are to hold about nine of ten; they held six when the memory was taken for at most five hours
    [InlineData(0.99, 0)]
    [InlineData(0.97, 1.5)] // a memory of a third of a day, and each quarter errs by itself by half as much again
    public void A_tank_that_wanders_for_days_makes_the_doubt_wide_enough(double keep, double alone)
    {
        var held = 0;
        for (ulong seed = 1; seed <= 60; seed++)
        {
            var generator = new Generator(seed);
            double Drawn() => 0.001 * Normal.Inverse(Math.Max(generator.NextUniform(), 1e-12));
            var (wander, quarters) = (Drawn(), new List<Stretch>());
            for (var i = 0; i < 7 * 96; i++)
            {
                wander = (keep * wander) + (Math.Sqrt(1 - (keep * keep)) * Drawn());
                quarters.Add(new(Start.AddMinutes(15 * i), TimeSpan.FromMinutes(15), 500 * Math.Exp((0.983 * 0.005 * i / 96) + wander + (alone > 0 ? alone * Drawn() : 0))));
            }

            var loss = EvaporationFromSalt.Of(quarters, [], 100)!.Value;
            held += Math.Abs(loss.LitresPerDay - 0.5) <= 2 * loss.SdLitresPerDay ? 1 : 0;
        }

        Assert.InRange(held, 48, 60);
    }
}
