using Evenwater.Core.Estimation;
using Evenwater.Nights.Plant;
using Evenwater.Nights.Scoring;

namespace Evenwater.Nights.PlantTests;

public sealed class NightMakerTests(ITestOutputHelper output)
{
    private const double Start = 2;
    private const double Vessel0 = 600;
    private const double Tank = 200;

    /// <summary>Nothing is lost, nothing wanders, and all of it is one.</summary>
    private static NightPlan Ideal { get; } = new()
    {
        Prior = new Prior { StartVolumeLitres = Start, BrimLitres = 10, FreeboardLitres = 1, ToleranceMicrosiemensPerCm = 100 },
        StartLitres = Start,
        BrimLitres = 10,
        VesselMicrosiemens = Vessel0,
        TankMicrosiemens = Tank,
        BagCelsius = 20,
        TankCelsius = 20,
        Inflow = new Inflow.Setup { MillilitresPerMinute = 20 },
        Air = new Air(20, 1, 0, 0),
        Stirring = new Stirring { SurfaceSeconds = 1e-6, FloorSeconds = 1e-6 },
        VesselProbe = new ConductivityProbe.Setup { LagSeconds = 1e-6 },
    };

    /// <summary>A filling stirred tank: C = Ct + (C0 - Ct) V0/V (any text on stirred tanks; Lebl, Notes on Diffy Qs, section 1.4).</summary>
    [Fact]
    public void A_fill_that_mixes_at_once_follows_the_dilution_formula()
    {
        var night = Make(Ideal);
        foreach (var row in night.Truth!.Rows.Where(r => r.Litres < 10))
        {
            Assert.Equal(Start + (0.02 * row.Seconds / 60), row.Litres, 1e-9);
            Assert.Equal(Tank + ((Vessel0 - Tank) * Start / row.Litres), row.Vessel, 1e-6);
        }

        // The probe hangs in one zone only: all are one, but for the last drop on the surface and the step of the readings.
        foreach (var row in night.Rows.Where(r => r.Seconds < 24_000))
        {
            var litres = Start + (0.02 * row.Seconds / 60);
            Assert.Equal(Tank + ((Vessel0 - Tank) * Start / litres), row.Readings[Core.Channel.VesselConductivity].Value, 0.1);
        }

        // |C - Ct| = 100 at V = 8 L, after 6 L or 300 min; 9 L after 350 min; 10 L after 400.
        Assert.Equal(300 * 60, night.MatchSeconds!.Value, 5);
        Assert.Equal(350 * 60, night.BrimSeconds!.Value, 5);
        Assert.Equal(400 * 60, night.Truth.SpillSeconds!.Value, 5);
        Assert.Equal(400 * 60 + 900, night.Truth.EndSeconds, 5);
    }

    /// <summary>Constant volume: C - Ct falls as exp(-q t / V), the washout of a stirred tank. Forward steps of 1 s err by q dt / 2V.</summary>
    [Fact]
    public void A_standpipe_vessel_is_washed_out_exponentially()
    {
        var night = Make(Ideal with
        {
            StandpipeLitres = Start, PeriodSeconds = 1, Prior = Ideal.Prior with { Mode = VesselMode.Standpipe, StandpipeLitres = Start },
        });
        foreach (var row in night.Truth!.Rows)
        {
            Assert.Equal(Start, row.Litres, 1e-9);
            Assert.Equal(Math.Exp(-0.02 * row.Seconds / 60 / Start), (row.Vessel - Tank) / (Vessel0 - Tank), 0.001);
        }
    }

    [Fact]
    public void Slow_zones_lag_behind_what_mixes_at_once_but_keep_the_same_salt()
    {
        var slow = Make(Ideal with { Stirring = new Stirring { SurfaceSeconds = 120, FloorSeconds = 20_000 } });
        foreach (var row in slow.Truth!.Rows.Where(r => r.Litres < 10))
        {
            Assert.Equal((Vessel0 * Start) + (Tank * (row.Litres - Start)), row.Vessel * row.Litres, 1e-6);
        }

        var seen = slow.Rows[1500].Readings[Core.Channel.VesselConductivity].Value;
        output.WriteLine($"probe {seen:0.0}, mean {slow.Truth.Rows[1500 / 15].Vessel:0.0}");
        Assert.True(Math.Abs(seen - slow.Truth.Rows[1500 / 15].Vessel) > 3);
    }

    [Fact]
    public void A_closed_valve_holds_and_a_leaking_one_does_not()
    {
        var closed = Ideal with { Prior = Ideal.Prior with { ValveCommands = [new ValveCommand(3600, false), new ValveCommand(7200, true)] } };
        Assert.Equal(350 * 60 + 3600, Make(closed).BrimSeconds!.Value, 5);
        var leaking = closed with { Inflow = closed.Inflow with { LeakShare = 0.25 } };
        Assert.Equal(350 * 60 + (0.75 * 3600), Make(leaking).BrimSeconds!.Value, 10);
    }

    [Theory]
    [InlineData(true, 3600)]
    [InlineData(false, 0)]
    public void In_a_power_gap_there_are_no_rows_and_the_valve_does_what_it_does_without_power(bool closes, double later)
    {
        var night = Make(Ideal with { Gaps = [new Gap(6000, 9600)], Prior = Ideal.Prior with { ValveClosesOnPowerLoss = closes } });
        Assert.DoesNotContain(night.Rows, r => r.Seconds is >= 6000 and < 9600);
        Assert.Contains(night.Rows, r => r.Seconds is 5995);
        Assert.Equal(350 * 60 + later, night.BrimSeconds!.Value, 5);
    }

    [Fact]
    public void A_draw_off_takes_water_and_leaves_the_conductivity()
    {
        var night = Make(Ideal with
        {
            Prior = Ideal.Prior with { DrawOffs = [new DrawOff(12_000, 3, 0.05)] }, DrawnFactors = [1.1],
        });
        var before = night.Truth!.Rows.Last(r => r.Seconds < 12_000);
        var after = night.Truth.Rows.First(r => r.Seconds >= 12_000);
        Assert.Equal(before.Litres - 3.3, after.Litres, 0.03);
        Assert.Equal(before.Vessel, after.Vessel, 1.5);
        Assert.Equal(350 * 60 + (3.3 / 0.02 * 60), night.BrimSeconds!.Value, 10);
    }

    private static Night Make(NightPlan plan) => new NightMaker(plan, new Chance(1)).Make("ideal-1", "ideal");
}
