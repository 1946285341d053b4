using Evenwater.Core.Estimation;
using Evenwater.Core.Planning;
using Evenwater.Core.Stations;

namespace Evenwater.CoreTests.Planning;

public class TransitAmmoniaTests
{
    private static Station Arrived(double bagPh, double tankPh, double? hours, double? total) =>
        Stations.River.With(waters: w => w with { BagPh = bagPh, TankPh = tankPh, BagTemperatureCelsius = 25, TankTemperatureCelsius = 25 })
            with { Arrival = new() { HoursInTransit = hours, TotalAmmoniaMilligramsPerLitre = total } };

    // 1.6 L filled up to 9.0 L.
    private static readonly CourseAt s_filled = new(8.2, 9, 225, 25, 7.4, 0, 0, 1.6 / 9);

    [Fact]
    public void A_bag_at_low_ph_turns_poisonous_in_the_tanks_and_the_plan_says_so_with_the_arithmetic()
    {
        // Emerson's table at 25 °C: 0.179 % at pH 6.5, 15.2 % at pH 8.5. 3 mg/L: 0.0054 and 0.456; 1.6 of 9.0 L of it: 0.081.
        var station = Arrived(6.5, 8.5, 20, 3);
        var ammonia = TransitAmmonia.Of(station, s_filled, 8.2)!;
        Assert.Equal(0.0054, ammonia.InBagMilligramsPerLitre, 0.0001);
        Assert.Equal(0.456, ammonia.RisenMilligramsPerLitre, 0.002);
        Assert.Equal(0.081, ammonia.ThinnedMilligramsPerLitre!.Value, 0.001);
        Assert.True(ammonia.TurnsHarmful);
        Assert.All(["3.0 mg/L", "measured", "0.179 %", "0.005 mg/L", "0.456 mg/L", "0.081 mg/L", "Emerson", "Decide with care", "8.2 h"], said => Assert.Contains(said, ammonia.Text, StringComparison.Ordinal));
        Assert.Contains(Planner.Make(station).Cautions, c => c.Kind == Caution.TransitAmmonia && c.Text.Contains("Weigh a short warming", StringComparison.Ordinal));
    }

    /// <summary>
    /// By hand: filled from 1.6 to 8 L and run through with as much again, of the bag's water 0.2 e^(-8/8) = 0.0736 are left, of 0.456 mg/L 0.0335; the litres alone would say 0.0911.
    /// </summary>
    [Fact]
    public void What_runs_through_a_standpipe_takes_ammonia_along()
    {
        var station = Stations.River.With(v => v with { Mode = VesselMode.Standpipe, StandpipeLitres = 8 });
        var at = Course.Of(station with { Evaporation = new() { MillilitresPerHour = 0 } }, 1.6, 0.9).At(14.4 / 0.9);
        var ammonia = TransitAmmonia.Of(Arrived(6.5, 8.5, 20, 3), at, 16)!;
        Assert.Equal(0.0335, ammonia.ThinnedMilligramsPerLitre!.Value, 0.0003);
        Assert.Contains("0.034 mg/L in the 8.0 L at the end", ammonia.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(7.5, 7.0, 3)]    // it falls
    [InlineData(6.5, 7.0, 3)]    // 0.56 % of 3 mg/L: 0.017
    [InlineData(6.5, 8.5, 0.2)]  // 15.2 % of 0.2 mg/L: 0.030
    public void Nothing_is_said_where_it_stays_harmless(double bagPh, double tankPh, double total)
    {
        var station = Arrived(bagPh, tankPh, 20, total);
        Assert.False(TransitAmmonia.Of(station, s_filled, 8)!.TurnsHarmful);
        Assert.DoesNotContain(Planner.Make(station).Cautions, c => c.Kind == Caution.TransitAmmonia);
    }

    [Fact]
    public void Unmeasured_it_is_taken_from_the_hours_and_said_to_be_an_assumption()
    {
        var ammonia = TransitAmmonia.Of(Arrived(6.5, 8.5, 20, null), s_filled, 8)!;
        Assert.Equal((3, false), (Math.Round(ammonia.TotalMilligramsPerLitre, 9), ammonia.Measured)); // 20 h at 0.15 mg/L
        Assert.Contains("an assumption: measure it", ammonia.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Without_ph_a_long_journey_asks_for_it_and_a_short_one_only_reminds()
    {
        var caution = Assert.Single(Planner.Make(Stations.River.Station with { Arrival = new() { HoursInTransit = 6 } }).Cautions, c => c.Kind == Caution.TransitAmmonia);
        Assert.Contains("waters.bagPh", caution.Text, StringComparison.Ordinal);
        Assert.DoesNotContain(Planner.Make(Stations.River.Station with { Arrival = new() { HoursInTransit = 5 } }).Cautions, c => c.Kind == Caution.TransitAmmonia);
    }

    [Fact]
    public void In_sea_water_less_of_it_is_poisonous_and_the_plan_names_the_seas_own_constant()
    {
        // Millero 1995 by hand at 25 °C and salinity 35: lnK = -21.0811 + 0.0487 - 0.2544 + 0.05036 x 5.916 - 0.00927 x 35 = -21.3133, pK 9.2563; pH 8.2: 8.08 %, of 1 mg/L 0.0808 mg/L. Emerson has 8.26 %.
        var station = Stations.River.With(waters: w => w with { BagPh = 7, TankPh = 8.2, BagTemperatureCelsius = 25, TankTemperatureCelsius = 25, BagMicrosiemensPerCm = 53_071, TankMicrosiemensPerCm = 53_071 })
            with { Arrival = new() { TotalAmmoniaMilligramsPerLitre = 1 } };
        var ammonia = TransitAmmonia.Of(station, null, 5)!;
        Assert.Equal(0.0808, ammonia.RisenMilligramsPerLitre, 0.0003);
        Assert.Contains("Millero 1995, salinity 35", ammonia.Text, StringComparison.Ordinal);
        Assert.DoesNotContain("Emerson", ammonia.Text, StringComparison.Ordinal);
    }
}
