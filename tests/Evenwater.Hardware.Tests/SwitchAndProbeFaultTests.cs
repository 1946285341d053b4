using Evenwater.Core;
using Evenwater.Core.Estimation;

namespace Evenwater.HardwareTests;

/// <summary>Faults of switches and probes that take more than one of them.</summary>
public class SwitchAndProbeFaultTests
{
    [Fact]
    public void Switches_whose_lines_can_not_be_read_give_no_answer()
    {
        using var night = new RigNight(TestStation.Pail, 1, ["switches-lost@1m"]).RunTo(58);
        Assert.All(Switches, channel => Assert.Equal(Reason.None, night.Latest[channel].Reason));
        night.RunTo(62);
        Assert.All(Switches, channel => Assert.Equal(Reason.NoAnswer, night.Latest[channel].Reason));
    }

    [Fact]
    public void A_low_float_that_bounces_is_wet_and_dry_in_turn()
    {
        using var night = new RigNight(TestStation.Pail, 1, ["low-float-bounces@1m"]).RunTo(60);
        var wet = 0;
        for (var i = 0; i < 140; i++)
        {
            night.Second(open: true);
            wet += night.Latest[Channel.FloatLow].Code == 1 ? 1 : 0;
        }

        Assert.Equal(70, wet);
    }

    [Fact] // 410 + a tenth of 185 and 185 + a tenth of 410: 4.5 % and 22 % more.
    public void Joined_probes_read_a_tenth_of_the_others_water_too()
    {
        using var alone = new RigNight(TestStation.Exact, 1, [], ideal: true).RunTo(60, open: false);
        using var joined = new RigNight(TestStation.Exact, 1, ["probes-joined@0s"], ideal: true).RunTo(60, open: false);
        Assert.Equal(1 + (0.1 * 185 / 410), Ratio(Channel.VesselConductivity), 0.002);
        Assert.Equal(1 + (0.1 * 410 / 185), Ratio(Channel.TankConductivity), 0.002);

        double Ratio(Channel channel) => (double)joined.Latest[channel].Code / alone.Latest[channel].Code;
    }

    [Fact]
    public void A_blocked_standpipe_drains_nothing_more()
    {
        var station = TestStation.Exact with
        {
            Vessel = TestStation.Exact.Vessel with { Mode = VesselMode.Standpipe, StandpipeLitres = 1.6, StandpipeSdLitres = 0.01, CatchLitres = 14 },
        };
        using var night = new RigNight(station, 1, ["standpipe-blocked@1h"], ideal: true).RunTo(3600);
        var drained = night.Rig.DrainedLitres;
        Assert.InRange(drained, 0.8, 1);
        night.RunTo(2 * 3600);
        Assert.Equal(drained, night.Rig.DrainedLitres, 0.001);
        Assert.Equal(1.6 + 0.9, night.Rig.VolumeLitres, 0.05);
    }

    private static Channel[] Switches => [Channel.FloatLow, Channel.FloatHigh, Channel.Leak];
}
