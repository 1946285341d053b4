using Evenwater.Core.Calibration;
using Evenwater.Core.Stations;
using Evenwater.Core.Water;

namespace Evenwater.CoreTests.Calibration;

/// <summary>One cell in a standard, sample by sample, and whether it is the right one.</summary>
public class StandardCupTests
{
    // CRC Handbook, KCl 0.01 mol/kg with the air's carbon dioxide: 1274.02 at 20 °C, 1409.33 at 25 °C.
    [Fact]
    public void A_cup_that_warms_up_is_steady_all_the_same_because_the_constant_is()
    {
        var cup = new StandardCup(ConductivityStandard.HundredthMolal, 0.005, 0.1);
        for (var i = 0; i < StandardCup.Wanted; i++)
        {
            var celsius = 20 + (5.0 * i / StandardCup.Wanted); // 5 °C in three minutes: the conductance rises by 10 %
            cup.Step(StandardConductivity.MicrosiemensPerCm(ConductivityStandard.HundredthMolal, celsius) / 1.04, celsius, MonotonicTime.FromSeconds(i));
        }

        Assert.Equal(StandardCupState.Steady, cup.State);
        Assert.Equal(1.04, cup.Reading.CellConstantPerCm, 1e-9);
        Assert.Equal(0.0015, cup.Reading.ConductanceSdMicrosiemens / cup.Reading.ConductanceMicrosiemens, 1e-9); // no scatter: a cell's slow wander alone, common practice, no source
    }

    [Fact]
    public void A_thermometer_that_lags_behind_makes_it_move()
    {
        var cup = new StandardCup(ConductivityStandard.HundredthMolal, 0.005, 0.1);
        for (var i = 0; i < StandardCup.Wanted; i++)
            cup.Step(1274.02, 25 - (5 * (1 - Math.Exp(-i / 60.0))), MonotonicTime.FromSeconds(i)); // still warm from the hand, in a cup of 20 °C
        Assert.Equal(StandardCupState.Moving, cup.State);
    }

    [Fact]
    public void The_same_sample_counts_once_and_a_gap_begins_anew()
    {
        var cup = new StandardCup(ConductivityStandard.HundredthMolal, 0.005, 0.1);
        for (var i = 0; i < 3; i++) cup.Step(1274, 20, MonotonicTime.FromSeconds(1));
        Assert.Equal((StandardCupState.Looking, 1), (cup.State, cup.Count));
        Assert.Equal((StandardCupState.NoReading, 0), (cup.Step(null, 20, MonotonicTime.FromSeconds(2)), cup.Count));
        Assert.Equal((StandardCupState.OffTable, 0), (cup.Step(1274, 35.5, MonotonicTime.FromSeconds(3)), cup.Count));
        Assert.Contains("0 to 35 °C", cup.WhyNot("vessel-conductivity", 10).Allowed, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(200, 200, 185, 1274, true)]   // the asked one stayed in its water, the other reads like the standard
    [InlineData(200, 1274, 185, 185, false)]  // as it should be
    [InlineData(1250, 1252, 185, 1274, true)] // its water is nearly as strong as the standard, and it was the other that moved
    [InlineData(1250, 1274, 1260, 1260, false)]
    [InlineData(200, 1274, 185, 1274, false)] // both hang in the one cup
    [InlineData(200, 700, 185, 185, false)]   // a wrong liquid is another refusal
    [InlineData(600, 200, 1250, 1252, false)] // so is this one, though the tank is as strong as the standard that was said
    public void It_is_seen_which_probe_was_moved(double before, double now, double otherBefore, double otherNow, bool refused)
    {
        var refusal = SwappedProbes.Refusal("vessel-conductivity", ConductivityStandard.HundredthMolal, new CellSeen(1, before, now, 20), new CellSeen(1, otherBefore, otherNow, 20));
        Assert.Equal(refused, refusal is not null);
    }

    [Fact] // 0.01 mol/kg at 20 °C is 1274 µS/cm; a cell that conducts nothing, or whose thermometer is beyond the table's 35 °C, reads like no standard, and what read nothing before has moved from nowhere
    public void Only_what_is_seen_speaks_against_a_probe()
    {
        Assert.NotNull(Refusal(new(1, 200, 200, 20), new(1, 185, 1274, 20)));
        Assert.Null(Refusal(new(1, 200, 200, 20), new(1, 185, 0, 20)));
        Assert.Null(Refusal(new(1, 200, 200, 20), new(1, 185, 1274, 36)));
        Assert.Null(Refusal(new(1, 200, 1274, 20), new(1, 0, 1274, 20)));
        Assert.Null(Refusal(new(1, 200, 1274, 20), new(1, null, 1274, 20)));

        // The asked one went into a wrong liquid, and the tank is like the standard: told only where both were looked at before.
        Assert.Null(Refusal(new(1, 600, 200, 20), new(1, 1250, 1252, 20)));
        Assert.NotNull(Refusal(new(1, 600, 200, 20), new(1, null, 1252, 20)));
        Assert.NotNull(Refusal(new(1, null, 200, 20), new(1, 1250, 1252, 20)));

        static Problem? Refusal(CellSeen asked, CellSeen other) => SwappedProbes.Refusal("vessel-conductivity", ConductivityStandard.HundredthMolal, asked, other);
    }

    [Theory] // the steps of a cell that came from 1300 into 1274: 2 % as a ratio's logarithm are 1248.8 to 1299.7, 5 % 1211.9 to 1339.3
    [InlineData(1338, 1295, false)]
    [InlineData(1341, 1295, true)]
    [InlineData(1341, 1303, false)]
    public void Moved_is_five_per_cent_and_stayed_is_two(double otherBefore, double before, bool refused)
        => Assert.Equal(refused, SwappedProbes.Refusal("vessel-conductivity", ConductivityStandard.HundredthMolal, new CellSeen(1, before, 1274, 20), new CellSeen(1, otherBefore, 1274, 20)) is not null);

    [Fact]
    public void Without_a_look_before_the_other_alone_reading_like_the_standard_is_enough()
        => Assert.NotNull(SwappedProbes.Refusal("vessel-conductivity", ConductivityStandard.HundredthMolal, new CellSeen(1, null, 200, 20), new CellSeen(1, null, 1274, 20)));
}
