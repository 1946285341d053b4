using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;

namespace Evenwater.CoreTests.Protection;

/// <summary>A run that would trip at its next cycle is not opened again: not for one cycle.</summary>
public class SpentRunTests
{
    public static TheoryData<Trip> Causes => [Trip.OverflowForecast, Trip.TimeBudget, Trip.VolumeBudget, Trip.SourceDrawn];

    [Theory]
    [MemberData(nameof(Causes))]
    public void A_spent_run_is_refused_and_told_so(Trip cause)
    {
        var world = Held(cause);
        Assert.Equal(Phase.Holding, world.Step(Good with { Command = Verb.Begin, Committed = true }));
        Assert.Equal(Refusal.Spent, world.Refusal);
        Assert.Null(world.LeaseUntil);
    }

    [Theory]
    [MemberData(nameof(Causes))]
    public void A_spent_run_does_not_resume_after_a_restart(Trip cause)
    {
        var world = new SafetyWorld(mayResume: true);
        Drip(world);
        Spend(world, cause);
        Assert.Equal(Phase.Holding, world.Step(Good with { Command = Verb.Restarted }));
    }

    /// <summary>The station file says where the valve goes without power. An hour open at the 15 mL/min of the station are 0.9 L of its budget of 10 L, and of what the tank may give.</summary>
    [Theory]
    [InlineData(false, 0.9, 3600)]
    [InlineData(true, 0, 0)]
    public void What_ran_in_through_a_valve_that_stays_open_without_power_is_of_the_budget(bool closes, double litres, double openSeconds)
    {
        var world = new SafetyWorld(mayResume: true);
        Drip(world);
        world.State.Run = world.State.Run! with { Prior = world.State.Run.Prior with { ValveClosesOnPowerLoss = closes } };
        Assert.Equal(Phase.Armed, world.Step(Good with { Command = Verb.Restarted, Seconds = 3600 }, cut: true));
        Assert.Equal(litres, world.State.InflowLitres, 0.01);
        Assert.Equal(openSeconds, world.State.OpenSeconds, 2.0);
        world.Step(Good with { Seconds = 3600 }); // closed
        Assert.Equal(litres, world.State.InflowLitres, 0.01);

        Drip(world = new SafetyWorld(mayResume: true));
        world.State.Run = world.State.Run! with { Prior = world.State.Run.Prior with { ValveClosesOnPowerLoss = closes } };
        Assert.Equal(closes ? Phase.Armed : Phase.Holding, world.Step(Good with { Command = Verb.Restarted, Seconds = 12 * 3600 }, cut: true));
    }

    [Fact]
    public void A_run_with_something_left_goes_on()
    {
        var world = Held(Trip.None);
        Assert.Equal(Phase.Armed, world.Step(Good with { Command = Verb.Begin }));
        Assert.Equal(Phase.Dripping, world.Step(Good with { Committed = true }));
    }

    [Fact]
    public void A_new_run_after_a_spent_one_opens()
    {
        var world = Held(Trip.VolumeBudget);
        world.Step(Good with { Command = Verb.Finish });
        Assert.Equal(Phase.Armed, world.Step(Good with { Command = Verb.Begin }));
        Assert.Equal(Phase.Dripping, world.Step(Good with { Committed = true }));
    }

    private static Weather Good => new() { LogCommits = true, Seconds = 1 };

    private static SafetyWorld Held(Trip cause)
    {
        var world = new SafetyWorld();
        Drip(world);
        world.Step(Good with { Command = Verb.Close });
        Spend(world, cause);
        return world;
    }

    private static void Drip(SafetyWorld world)
    {
        world.Step(Good with { Command = Verb.Begin });
        Assert.Equal(Phase.Dripping, world.Step(Good with { Committed = true }));
    }

    private static void Spend(SafetyWorld world, Trip cause)
    {
        var (state, station) = (world.State, world.Station);
        switch (cause)
        {
            case Trip.OverflowForecast:
                state.HasForecast = true;
                state.LatestForecast = new Forecast { BrimProbability = 0.5 };
                break;
            case Trip.TimeBudget:
                state.OpenSeconds = station.Safety.MaxOpenMinutes * 60;
                break;
            case Trip.VolumeBudget:
                state.InflowLitres = station.Safety.MaxInflowLitres;
                break;
            case Trip.SourceDrawn:
                state.InflowLitres = station.Source.MaxDrawLitres;
                break;
        }
    }
}
