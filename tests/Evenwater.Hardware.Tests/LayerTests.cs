using Evenwater.Core.Stations;
using Evenwater.Hardware.Rig;

namespace Evenwater.HardwareTests;

/// <summary>Each layer of the rig stops the water by itself, and can be broken or taken away. 10.5 L of 11.6 at the start, the floats at 10.8 L, 0.9 L/h.</summary>
public class LayerTests
{
    private const double FloatLitres = 10.8;

    private static readonly Station Full = TestStation.Exact with { Vessel = TestStation.Exact.Vessel with { StartVolumeLitres = 10.5 } };

    /// <summary>The same with an intake of 0.5 mm: 0.24 L may siphon.</summary>
    private static readonly Station Shallow = Full with { Source = Full.Source with { IntakeDepthMillimetres = 0.5 } };

    [Theory]
    [InlineData("leak-wet@168h")] // none that matters
    [InlineData("driver-stuck-on@1m")]
    [InlineData("pulses-on@1m")]
    [InlineData("driver-bridged@1m")]
    public void A_float_in_the_coils_supply_closes_whatever_drives_the_coil(string fault)
    {
        using var with = new RigNight(Full, 1, [fault], ideal: true, Layers.All).RunTo(3600);
        Assert.Equal(FloatLitres, with.Rig.VolumeLitres, 0.005);
        Assert.False(with.Rig.ValveOpen);
        using var without = new RigNight(Full, 1, [fault], ideal: true).RunTo(3600);
        Assert.InRange(without.Rig.VolumeLitres, 11.3, 11.5);
        using var bypassed = new RigNight(Full, 1, [fault, "series-float-dry@1m"], ideal: true, Layers.All).RunTo(3600);
        Assert.InRange(bypassed.Rig.VolumeLitres, 11.3, 11.5);
    }

    [Theory]
    [InlineData("driver-stuck-on@1m", true, true)]
    [InlineData("pulses-on@1m", true, true)]
    [InlineData("valve-stuck-open@1m", false, true)]
    [InlineData("driver-bridged@1m", false, false)]
    public void What_opens_without_the_program_runs_without_it(string fault, bool coil, bool water)
    {
        using var night = new RigNight(Full, 1, [fault], ideal: true).RunTo(58, open: false);
        Assert.Equal((false, 0), (night.Rig.ValveOpen, night.Rig.InflowMillilitresPerMinute));
        night.RunTo(70, open: false);
        Assert.Equal((coil, water), (night.Rig.ValveOpen, night.Rig.InflowMillilitresPerMinute > 10));
    }

    [Fact]
    public void A_dead_coil_ends_the_drip()
    {
        using var night = new RigNight(Full, 1, ["coil-dead@1m"], ideal: true).RunTo(58);
        Assert.True(night.Rig.InflowMillilitresPerMinute > 10);
        night.RunTo(63);
        Assert.Equal((false, 0), (night.Rig.ValveOpen, night.Rig.InflowMillilitresPerMinute));
    }

    [Theory]
    [InlineData(Layers.Usual, false, false)]
    [InlineData(Layers.Usual & ~Layers.Driver, true, true)]
    [InlineData(Layers.Usual & ~Layers.Program, true, true)]
    [InlineData(Layers.Usual & ~Layers.Valve, false, true)]
    public void A_program_that_stops_with_its_line_high_closes_unless_driver_or_valve_is_away(Layers layers, bool coil, bool water)
    {
        using var night = new RigNight(Full, 1, [], ideal: true, layers).RunTo(30);
        night.Devices.Valve.StandStill(night.Now.Plus(60), night.Now);
        night.Rig.Advance(night.Now.Plus(30));
        Assert.Equal((coil, water), (night.Rig.ValveOpen, night.Rig.InflowMillilitresPerMinute > 10));
    }

    [Theory]
    [InlineData("leak-wet@168h", Layers.All, 10.74)]
    [InlineData("intake-deep@0s", Layers.All, FloatLitres)]
    [InlineData("top-off-runs@0s", Layers.All, FloatLitres)]
    [InlineData("leak-wet@168h", Layers.All & ~Layers.Intake, FloatLitres)]
    public void A_shallow_intake_ends_the_siphon_unless_it_is_deep_or_refilled(string fault, Layers layers, double litres)
    {
        using var night = new RigNight(Shallow, 1, [fault], ideal: true, layers).RunTo(3600);
        Assert.Equal(litres, night.Rig.VolumeLitres, 0.005);
    }

    [Fact]
    public void A_tube_that_falls_out_drips_into_the_tray_and_wets_the_leak_sensor()
    {
        using var night = new RigNight(Full, 1, ["tube-out@1m"], ideal: true).RunTo(60);
        var before = night.Rig.VolumeLitres;
        Assert.False(night.Rig.WireIsWet(Core.Channel.Leak));
        night.RunTo(360);
        Assert.Equal(before, night.Rig.VolumeLitres, 0.005);
        Assert.Equal(5 * 0.015, night.Rig.BesideLitres, 0.002);
        Assert.True(night.Rig.WireIsWet(Core.Channel.Leak));
    }

    [Fact]
    public void A_smaller_vessel_has_its_rim_and_its_floats_lower_by_a_quarter()
    {
        var rig = new SimulatedRig(TestStation.Exact, 1, [RigFault.Parse("vessel-smaller")], facts => facts.Ideal(), Layers.All);
        Assert.Equal((0.75 * 11.6, 0.75 * 10.8, 0.75 * 10.8, 0.75 * 5), (rig.BrimLitres, rig.Facts.FloatHighLitres, rig.Facts.SeriesFloatLitres, rig.Facts.FloatLowLitres));
    }

    [Theory]
    [InlineData("poured-in@1m", 2.5)]
    [InlineData("drawn-untold@1m", -2)]
    public void What_a_person_does_untold_is_done_once(string fault, double litres)
    {
        var station = TestStation.Exact with { Vessel = TestStation.Exact.Vessel with { StartVolumeLitres = 4 } };
        using var night = new RigNight(station, 1, [fault], ideal: true).RunTo(300, open: false);
        Assert.Equal(4 + litres, night.Rig.VolumeLitres, 1e-9);
    }
}
