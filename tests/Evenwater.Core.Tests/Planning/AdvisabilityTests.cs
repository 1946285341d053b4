using Evenwater.Core.Planning;
using Evenwater.Core.Stations;
using Evenwater.CoreTests.Stations;

namespace Evenwater.CoreTests.Planning;

/// <summary>What speaks for a long drip and what against it, each reason by itself, by hand.</summary>
public class AdvisabilityTests
{
    // A run may go 400 µS/cm and 3 °C and 0.5 in pH, 100 µS/cm of it in an hour; the step is 100, which is neither more than an hour bears nor less than a quarter of a run.
    private static readonly Station Plain = River.With(waters: w => w with { BagMicrosiemensPerCm = 300, TankMicrosiemensPerCm = 200, BagTemperatureCelsius = 23, TankTemperatureCelsius = 23 }) with
    {
        Limits = new() { MicrosiemensPerCmPerHour = 100, TotalMicrosiemensPerCm = 400, TotalCelsius = 3, TotalPh = 0.5 },
        Arrival = new() { HoursInTransit = 5.9 },
    };

    private static Station With(Func<Waters, Waters> waters) => Plain with { Waters = waters(Plain.Waters) };

    private static string? Only(IReadOnlyList<string> reasons) => reasons.Count == 0 ? null : Assert.Single(reasons);

    [Theory] // whichever of the two waters is the stronger, the warmer, the more alkaline
    [InlineData(200, 200, 23, 23, 7.0, 7.5, null)]
    [InlineData(300, 200, 23, 23, 7.0, 7.5, null)]
    [InlineData(301, 200, 23, 23, 7.0, 7.5, "poured at once, conductivity would jump by 101 µS/cm; 100 in an hour is the limit (the station file)")]
    [InlineData(200, 301, 23, 23, 7.0, 7.5, "poured at once, conductivity would jump by 101 µS/cm; 100 in an hour is the limit (the station file)")]
    [InlineData(300, 200, 20, 23, 7.0, 7.5, null)]
    [InlineData(300, 200, 19.9, 23, 7.0, 7.5, "the waters are 3.1 °C apart; 3 is the limit of one run (the station file)")]
    [InlineData(300, 200, 26.1, 23, 7.0, 7.5, "the waters are 3.1 °C apart; 3 is the limit of one run (the station file)")]
    [InlineData(300, 200, 23, 23, 6.9, 7.5, "they are 0.6 apart in pH; 0.5 is the limit (the station file)")]
    [InlineData(300, 200, 23, 23, 7.5, 6.9, "they are 0.6 apart in pH; 0.5 is the limit (the station file)")]
    public void More_than_an_hour_or_a_run_bears_speaks_for_a_long_drip(double bag, double tank, double bagCelsius, double tankCelsius, double bagPh, double tankPh, string? reason)
    {
        var station = With(w => w with { BagMicrosiemensPerCm = bag, TankMicrosiemensPerCm = tank, BagTemperatureCelsius = bagCelsius, TankTemperatureCelsius = tankCelsius, BagPh = bagPh, TankPh = tankPh });
        var told = Only(Advisability.Of(station, null, 8).For);
        if (reason is null) Assert.Null(told);
        else Assert.StartsWith(reason, told, StringComparison.Ordinal);
    }

    [Theory] // transit is long from six hours on; a quarter of 400 is 100; 12 h in a vessel are long
    [InlineData(100, 5.9, 8, null)]
    [InlineData(100, 6, 8, "after 6 h in transit the bag's ammonia and pH are not known")]
    [InlineData(99, 5.9, 8, "the whole step, 99 µS/cm, is 25 % of the limit of one run (400, the station file)")]
    [InlineData(40, 5.9, 8, "the whole step, 40 µS/cm, is 10 % of the limit of one run (400, the station file)")]
    [InlineData(100, 5.9, 12, null)]
    [InlineData(100, 5.9, 13, "13 h in a vessel are a strain of their own")]
    [InlineData(100, 5.9, double.PositiveInfinity, null)] // never even is told elsewhere
    public void A_small_step_an_unknown_ammonia_and_a_long_night_speak_against_it(double step, double transit, double evenHours, string? reason)
    {
        var told = Only(Advisability.Of(With(w => w with { BagMicrosiemensPerCm = 200 + step }) with { Arrival = new() { HoursInTransit = transit } }, null, evenHours).Against);
        if (reason is null) Assert.Null(told);
        else Assert.StartsWith(reason, told, StringComparison.Ordinal);
    }

    [Theory] // for it: 150 µS/cm are more than the hour's 100, 4 °C more than the run's 3; against it: 13 h, and 10 h in transit with an ammonia that nobody knows
    [InlineData(401, 23, 8, 5.9, Lean.InSteps, "The whole step is beyond the limit of one run, 400 µS/cm (the station file)")]
    [InlineData(400, 23, 8, 5.9, Lean.ForIt, "More speaks for a long drip here than against it.")]
    [InlineData(150, 23, 13, 5.9, Lean.ForIt, "More speaks for a long drip here than against it.")]
    [InlineData(150, 27, 13, 10, Lean.ForIt, "More speaks for a long drip here than against it.")]
    [InlineData(150, 23, 13, 10, Lean.Either, "The reasons known here do not decide between a long drip and a short one.")]
    [InlineData(100, 23, 8, 5.9, Lean.Either, "The reasons known here do not decide between a long drip and a short one.")]
    [InlineData(100, 23, 13, 5.9, Lean.AgainstIt, "More speaks here for a short drip")]
    public void It_leans_to_where_more_reasons_are(double step, double bagCelsius, double evenHours, double transit, Lean lean, string sentence)
    {
        var told = Advisability.Of(With(w => w with { BagMicrosiemensPerCm = 200 + step, BagTemperatureCelsius = bagCelsius }) with { Arrival = new() { HoursInTransit = transit } }, null, evenHours);
        Assert.Equal(lean, told.Lean);
        Assert.StartsWith(sentence, told.Sentence, StringComparison.Ordinal);
    }

    [Theory] // without limits or a group of its own: 150 µS/cm an hour for animals of fresh water, 2600 for those of the sea, which begins where either water is above 5 mS/cm (2.7 psu)
    [InlineData(4000, 5000, true)]
    [InlineData(4000, 5100, false)]
    [InlineData(5100, 4000, false)]
    public void An_arrival_without_limits_is_held_against_those_of_its_water(double bag, double tank, bool jumps)
    {
        var station = With(w => w with { BagMicrosiemensPerCm = bag, TankMicrosiemensPerCm = tank }) with { Limits = new() };
        Assert.Equal(jumps, Advisability.Of(station, null, 8).For.Any(reason => reason.StartsWith("poured at once", StringComparison.Ordinal)));
        Assert.Contains(Advisability.Of(station with { Limits = new() { Group = AnimalGroup.FreshwaterShrimp } }, null, 8).For, reason => reason.Contains("; 150 in an hour", StringComparison.Ordinal));
    }
}
