using Evenwater.Core;

namespace Evenwater.HardwareTests;

/// <summary>Each fault shows at the drivers as its kind should, from its time on and not before.</summary>
public class FaultTests
{
    [Fact]
    public void A_sudden_clog_and_a_surge_change_the_flow_at_their_time()
    {
        Assert.InRange(FlowAfter("sudden-clog@1h") / FlowAfter(), 0.1, 0.14);
        Assert.InRange(FlowAfter("siphon-surge@1h") / FlowAfter(), 2.9, 3.1);

        static double FlowAfter(params string[] faults)
        {
            using var night = new RigNight(TestStation.Pail, 4, faults);
            night.RunTo(3590);
            var before = night.Rig.InflowMillilitresPerMinute;
            night.RunTo(3610);
            return night.Rig.InflowMillilitresPerMinute / before;
        }
    }

    [Fact]
    public void A_slow_clog_halves_the_flow_in_two_hours()
    {
        using var clean = new RigNight(TestStation.Pail, 4, []);
        using var clogged = new RigNight(TestStation.Pail, 4, ["slow-clog@1h"]);
        clean.RunTo(3 * 3600);
        clogged.RunTo(3 * 3600);
        Assert.InRange(clogged.Rig.InflowMillilitresPerMinute / clean.Rig.InflowMillilitresPerMinute, 0.49, 0.53);
    }

    [Fact]
    public void A_leaking_valve_lets_a_fifth_pass_when_closed()
    {
        using var night = new RigNight(TestStation.Pail, 4, ["leaking-valve@10m"]);
        night.RunTo(590);
        var open = night.Rig.InflowMillilitresPerMinute;
        night.RunTo(650, open: false);
        Assert.False(night.Rig.ValveOpen);
        Assert.Equal(0.2, night.Rig.InflowMillilitresPerMinute / open, 0.01);
    }

    [Fact]
    public void A_falling_head_takes_the_drip_away_by_and_by_and_not_at_once()
    {
        using var clean = new RigNight(TestStation.Pail, 4, []);
        using var falling = new RigNight(TestStation.Pail, 4, ["falling-head@1h"]);
        clean.RunTo(3660);
        falling.RunTo(3660);
        Assert.InRange(falling.Rig.InflowMillilitresPerMinute / clean.Rig.InflowMillilitresPerMinute, 0.99, 1);
        clean.RunTo(4 * 3600);
        falling.RunTo(4 * 3600);
        Assert.InRange(falling.Rig.InflowMillilitresPerMinute / clean.Rig.InflowMillilitresPerMinute, 0.4, 0.85); // 45 cm of a head of 0.8 to 1.4 m
    }

    [Fact]
    public void A_drifting_probe_reads_three_per_cent_less_each_hour()
    {
        Assert.Equal(Math.Exp(-0.06), Mean("drifting-probe@10m") / Mean(), 0.005);

        static double Mean(params string[] faults)
        {
            using var night = new RigNight(TestStation.Pail, 4, faults);
            night.RunTo(600 + 7200 - 60);
            var sum = 0.0;
            for (var i = 0; i < 120; i++)
            {
                night.Second(open: true);
                sum += night.Latest[Channel.VesselConductivity].Code;
            }

            return sum;
        }
    }

    [Fact]
    public void A_dry_probe_fades_away_within_minutes()
    {
        using var night = new RigNight(TestStation.Pail, 4, ["dry-probe@10m"]);
        night.RunTo(599);
        var wet = night.Latest[Channel.VesselConductivity].Code;
        night.RunTo(630);
        Assert.Equal(0.37, (double)night.Latest[Channel.VesselConductivity].Code / wet, 0.03); // e^-1 after 30 s
        night.RunTo(900);
        Assert.InRange(night.Latest[Channel.VesselConductivity].Code, 0, 10);
    }

    [Fact]
    public void Swapped_probes_read_each_others_water()
    {
        using var night = new RigNight(TestStation.Pail, 4, ["probes-swapped@10m"]);
        night.RunTo(599, open: false);
        var (vessel, tank) = Codes();
        night.RunTo(900, open: false);
        var swapped = Codes();
        Assert.Equal(1, swapped.Vessel / (double)tank, 0.1); // the thermometers stay where they are
        Assert.Equal(1, swapped.Tank / (double)vessel, 0.1);

        (int Vessel, int Tank) Codes() => (night.Latest[Channel.VesselConductivity].Code, night.Latest[Channel.TankConductivity].Code);
    }

    [Fact]
    public void Both_probes_in_one_cup_read_the_same_but_for_their_gains_and_go_back_to_their_own_waters()
    {
        using var night = new RigNight(TestStation.Pail, 4, []);
        night.RunTo(60, open: false);
        var apart = Ratio();
        night.Rig.PutInOneCup(true);
        night.RunTo(400, open: false);
        Assert.Equal(night.Rig.GainOf(Channel.VesselConductivity) / night.Rig.GainOf(Channel.TankConductivity), Ratio(), 0.02);
        night.Rig.PutInOneCup(false);
        night.RunTo(800, open: false);
        Assert.Equal(apart, Ratio(), 0.05);

        double Ratio() => (double)night.Latest[Channel.VesselConductivity].Code / night.Latest[Channel.TankConductivity].Code;
    }

    [Fact]
    public void A_stuck_probe_repeats_itself_and_a_living_one_never_does_for_long()
    {
        Assert.Equal(1, DistinctCodes("stuck-probe@10m"));
        Assert.True(DistinctCodes() > 20);

        static int DistinctCodes(params string[] faults)
        {
            using var night = new RigNight(TestStation.Pail, 4, faults);
            night.RunTo(610);
            var codes = new HashSet<int>();
            for (var i = 0; i < 120; i++)
            {
                night.Second(open: true);
                codes.Add(night.Latest[Channel.VesselConductivity].Code);
            }

            return codes.Count;
        }
    }

    [Fact]
    public void An_open_probe_reads_almost_nothing_and_the_tanks_goes_on()
    {
        using var night = new RigNight(TestStation.Pail, 4, ["open-probe@10m"]);
        night.RunTo(599);
        Assert.InRange(night.Latest[Channel.VesselConductivity].Code, 8000, 16000);
        night.RunTo(610);
        Assert.InRange(night.Latest[Channel.VesselConductivity].Code, 0, 10);
        Assert.InRange(night.Latest[Channel.TankConductivity].Code, 4000, 8000);
    }

    [Fact]
    public void A_noisy_probe_scatters_fifteen_times_as_much()
    {
        Assert.InRange(Scatter("noisy-probe@0s") / Scatter(), 10, 20);

        static double Scatter(params string[] faults)
        {
            using var night = new RigNight(TestStation.Pail, 4, faults);
            night.RunTo(10, open: false);
            double sum = 0, previous = night.Latest[Channel.VesselConductivity].Code;
            for (var i = 0; i < 300; i++)
            {
                night.Second(open: false);
                var code = night.Latest[Channel.VesselConductivity].Code;
                sum += Math.Abs(code - previous);
                previous = code;
            }

            return sum;
        }
    }

    [Fact]
    public void A_silent_bus_silences_both_conductivities_and_nothing_else()
    {
        using var night = new RigNight(TestStation.Pail, 4, ["no-answer@10m"]);
        night.RunTo(599);
        Assert.Equal(Reason.None, night.Latest[Channel.VesselConductivity].Reason);
        night.RunTo(610);
        Assert.Equal(RawSample.Missing(Reason.NoAnswer, night.Now), night.Latest[Channel.VesselConductivity]);
        Assert.Equal(Reason.NoAnswer, night.Latest[Channel.TankConductivity].Reason);
        Assert.Equal(Reason.None, night.Latest[Channel.VesselTemperature].Reason);
        Assert.Equal(Reason.None, night.Latest[Channel.FloatHigh].Reason);
    }

    [Fact]
    public void The_floats_turn_wet_at_their_heights()
    {
        using var night = new RigNight(TestStation.Exact, 4, [], ideal: true);
        double? low = null, high = null;
        while (night.Seconds < 40_000)
        {
            night.Second(open: true);
            low ??= night.Latest[Channel.FloatLow].Code == 1 ? night.Rig.VolumeLitres : null;
            high ??= night.Latest[Channel.FloatHigh].Code == 1 ? night.Rig.VolumeLitres : null;
        }

        Assert.Equal(5, low!.Value, 0.001);
        Assert.Equal(10.8, high!.Value, 0.001);
        Assert.Equal(0, night.Latest[Channel.Leak].Code);
    }

    [Fact]
    public void Stuck_floats_stay_dry_until_the_tray_is_wet()
    {
        using var night = new RigNight(TestStation.Exact, 4, ["float-stuck-dry@0s"], ideal: true);
        night.RunTo(42_000);
        Assert.True(night.Rig.SpilledLitres > 0.02);
        Assert.Equal(0, night.Latest[Channel.FloatLow].Code);
        Assert.Equal(0, night.Latest[Channel.FloatHigh].Code);
        Assert.Equal(1, night.Latest[Channel.Leak].Code);
    }

    [Theory]
    [InlineData("float-cut@10m", Channel.FloatHigh)]
    [InlineData("leak-wet@10m", Channel.Leak)]
    public void A_cut_wire_and_a_wet_floor_show_at_once(string fault, Channel channel)
    {
        using var night = new RigNight(TestStation.Pail, 4, [fault]);
        night.RunTo(599);
        Assert.Equal(0, night.Latest[channel].Code);
        night.RunTo(602);
        Assert.Equal(RawSample.Of(1, night.Now), night.Latest[channel]);
    }

    [Fact]
    public void A_tank_change_moves_salt_and_warmth_by_the_same_share()
    {
        using var night = new RigNight(TestStation.Pail, 4, ["tank-change@10m"]);
        night.RunTo(599);
        Assert.Equal(185, night.Rig.TankEc25, 1e-9);
        night.RunTo(1800);
        Assert.Equal(0.25, (night.Rig.TankEc25 - 185) / (0.6 * 185), 0.001);
        Assert.Equal(0.25, (23 - night.Rig.TankCelsius) / 3, 0.02); // the heater swings by 0.05 °C
    }

    [Fact]
    public void A_thermometer_at_its_power_on_value_is_no_answer()
    {
        using var night = new RigNight(TestStation.Pail, 4, ["thermometer-85@10m"]);
        night.RunTo(610);
        Assert.Equal(Reason.NoAnswer, night.Latest[Channel.VesselTemperature].Reason);
        Assert.Equal(Reason.None, night.Latest[Channel.TankTemperature].Reason);
    }
}
