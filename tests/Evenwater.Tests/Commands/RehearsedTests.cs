using Evenwater.Commands;
using Evenwater.Core.Telling;
using Evenwater.Hardware.Rig;
using Evenwater.Running;

namespace Evenwater.Tests.Commands;

/// <summary>What a rehearsed night is told to have come to.</summary>
public sealed class RehearsedTests
{
    [Fact]
    public void A_rehearsal_tells_a_repeated_call_once_and_how_often_it_came_again()
    {
        var verdict = Rehearsal.Run(DemoStation.Read(), 1, [RigFault.Parse("leak-wet@10m")], 0.75, null);
        Assert.Equal(4, verdict.Alarms.Count); // after 10, 20, 30 and 40 min
        Assert.Equal(
            ["00:10:01  tripped: Water on the floor", "00:10:01  alarm: Water on the floor", "00:40:01  the same again, the last of 3 times more"],
            RehearseCommand.Lines(verdict.Story).TakeLast(3));
    }

    /// <summary>Of a program that had stopped after three hours it was told that it was still dripping when the night ended; the driver had let go.</summary>
    [Theory]
    [InlineData("process-stops@3h", "Dripping when the program stood still after 03:00:00, for good: what ran in from then on was up to driver, valve, floats and intake.")]
    [InlineData("cycle-hangs@3h", "Dripping when the program stood still after 03:00:00, for good: what ran in from then on was up to driver, valve, floats and intake.")]
    [InlineData("process-stops@9h", "Still dripping when the night ended.")]
    [InlineData("slow-clog@3h", "Still dripping when the night ended.")]
    public void A_night_ends_when_the_program_does(string fault, string told) =>
        Assert.Equal(told, RehearseCommand.Ended(new Verdict { OpenedAt = 2 }, [RigFault.Parse(fault)], 9, "0.0"));

    /// <summary>Waters that are alike were told to be truly even from the first second on, though it closed by the share that was replaced.</summary>
    [Fact]
    public void Of_waters_that_are_alike_a_rehearsal_tells_what_was_replaced()
    {
        var river = DemoStation.Read();
        var alike = river with { Waters = river.Waters with { BagMicrosiemensPerCm = river.Waters.TankMicrosiemensPerCm + 15 }, Match = river.Match with { ReplacedFraction = 0.5 } };
        var verdict = Rehearsal.Run(alike, 1, [], 6, null, calm: true);
        Assert.True(verdict.ClosedByPlan);
        var replaced = 1 - (alike.Vessel.StartVolumeLitres / verdict.LitresAtClose); // a plain fill: 1 - V0/V
        Assert.InRange(verdict.ReplacedAtClose ?? 0, replaced - 0.01, replaced + 0.01);
        Assert.EndsWith($" L; {verdict.ReplacedAtClose:0.00} of the water truly replaced.", RehearseCommand.Ended(verdict, [], 6, "0.0"), StringComparison.Ordinal);
        Assert.Null(Rehearsal.Run(river, 1, [RigFault.Parse("leak-wet@10m")], 0.5, null).ReplacedAtClose);
        // The plan told the moment at which the half is replaced, 1.8 h, though the valve closes once that is sure.
        var page = PlanPage.Of(alike, new PlanClock(new DateTimeOffset(2026, 11, 28, 20, 0, 0, TimeSpan.Zero), TimeZoneInfo.Utc));
        Assert.InRange(page.Plan.WhenClosed!.Value.Hours / (verdict.ClosedAt!.Value / 3600.0), 0.93, 1.07);
        Assert.Contains(", once that is sure; the valve closes at ", PlanText.Answer(page), StringComparison.Ordinal);
        Assert.EndsWith(", then on until that is sure", PlanText.Figures(page.Plan, alike).First(one => one.What == "all even").Value, StringComparison.Ordinal);
    }

    /// <summary>The plan took both for even before they were, at 7.2 L: its estimator knew of no tank. Rehearsed on three calm nights it closed after 8.70 to 8.71 h.</summary>
    [Fact]
    public void Without_a_probe_in_the_tank_a_plan_takes_what_was_measured_there()
    {
        var demo = DemoStation.Read();
        var plan = PlanPage.Of(demo with { Sensors = demo.Sensors with { TankConductivity = null } }, new PlanClock(new DateTimeOffset(2026, 11, 28, 20, 0, 0, TimeSpan.Zero), TimeZoneInfo.Utc)).Plan;
        Assert.InRange(plan.WhenClosed!.Value.Hours, plan.WhenEven!.Value.Hours + 0.2, 8.8);
    }

    /// <summary>164 µS/cm apart was "a good night", "a little short of even".</summary>
    [Fact]
    public void A_night_that_ended_far_from_even_is_no_good_one()
    {
        var verdict = new Verdict { OpenedAt = 2, ClosedAt = 1800, ClosedByPlan = true, FarFromEven = true, LitresAtClose = 2, VesselAtClose = 349, TankAtClose = 185 };
        Assert.False(verdict.Good);
        Assert.EndsWith("in truth far from even.", Evenwater.Commands.RehearseCommand.Ended(verdict, [], 1, "0.0"), StringComparison.Ordinal);
    }

    /// <summary>A vessel's probe that is hung into a tank without one of its own finds both alike at once, and the run had closed as even. The water can not have become the tank's from one minute to the next.</summary>
    [Fact]
    public void A_probe_that_is_hung_into_the_tank_makes_no_vessel_even()
    {
        var demo = DemoStation.Read();
        var bare = demo with { Limits = new(), Sensors = demo.Sensors with { TankConductivity = null, TankThermometer = null } };
        var verdict = Rehearsal.Run(bare, 1, [RigFault.Parse("probes-swapped@20m")], 2, null);
        Assert.True(verdict is { ClosedByPlan: false, Good: false, ClosedAt: not null }, string.Join('\n', verdict.Story));
        Assert.Contains(verdict.Story, told => told.Item2.Contains("The drip has nearly stopped", StringComparison.Ordinal));
    }

    /// <summary>Beside "most water in the vessel: 0.21 L" it had closed at 0.2 L.</summary>
    [Theory]
    [InlineData(true, "vessel 224, tank 185 µS/cm, 0.21 L;")]
    [InlineData(false, "at 0.21 L, vessel 224,")]
    public void What_a_cup_held_when_it_closed_is_told_in_hundredths(bool byPlan, string told) => Assert.Contains(
        told, RehearseCommand.Ended(new Verdict { OpenedAt = 2, ClosedAt = 60, ClosedByPlan = byPlan, LitresAtClose = 0.2051, VesselAtClose = 224, TankAtClose = 185 }, [], 9, LitresForm.Of(0.3)), StringComparison.Ordinal);
}
