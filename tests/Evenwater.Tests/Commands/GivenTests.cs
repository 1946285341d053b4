using Evenwater.Commands;

namespace Evenwater.Tests.Commands;

/// <summary>What a keeper has measured goes into the plan that is shown before go or no-go, and into what the daemon is told.</summary>
public class GivenTests
{
    private static readonly Given _nothing = new(null, null, null, null, default, null, null, Attended: true, null, Yes: true);

    [Fact]
    public void Nothing_given_leaves_the_station_as_its_file_says() => Assert.Equal(DemoStation.Read().Vessel, _nothing.As(DemoStation.Read()).Vessel);

    [Fact]
    public void A_volume_by_eye_is_known_to_15_per_cent_and_one_by_jug_to_2()
    {
        Assert.Equal((2.0, 0.3), Volume(_nothing with { StartVolume = 2 }));
        Assert.Equal((2.0, 0.04), Volume(_nothing with { StartVolume = 2, Jug = true }));

        static (double, double) Volume(Given given) => (given.As(DemoStation.Read()).Vessel.StartVolumeLitres, Math.Round(given.As(DemoStation.Read()).Vessel.StartVolumeSdLitres, 6));
    }

    [Fact]
    public void Probes_matched_in_one_cup_are_planned_and_told_with_their_own_ratio_and_spread()
    {
        var given = _nothing with { Cup = new Cup(1.014, 0.0031) };
        Assert.Equal(0.0031, given.As(DemoStation.Read()).Probes.GainRatioSd);
        Assert.Equal((1.014, 0.0031), (given.Known().GainRatio, given.Known().GainRatioSd));
        Assert.Equal(0.021, (_nothing with { Matched = false }).As(DemoStation.Read()).Probes.GainRatioSd);
    }

    [Fact]
    public void A_count_of_drops_is_told_as_no_better_than_the_size_of_a_drop()
    {
        var counted = _nothing with { Flow = 11.5, FlowRelativeSd = 0.12 };
        Assert.Equal((11.5, 0.12), (counted.Known().FlowMillilitresPerMinute, counted.Known().FlowRelativeSd));
        Assert.Equal(0.12, counted.As(DemoStation.Read()).Drip.FlowRelativeSd);
    }

    [Fact]
    public void A_tank_by_hand_is_told_in_fractions_of_itself() => Assert.Equal(
        (187.0, 0.015), ((_nothing with { Tank = 187, TankSdPercent = 1.5 }).Known().TankMicrosiemensPerCm, (_nothing with { Tank = 187, TankSdPercent = 1.5 }).Known().TankRelativeSd));
}
