using CsCheck;
using Evenwater.Core.Estimation;
using Evenwater.Core.Planning;
using Evenwater.Core.Stations;
using Evenwater.CoreTests.Stations;

namespace Evenwater.CoreTests.Planning;

/// <summary>The plan's closed forms against the balances of water, salt and heat themselves, stepped by Runge and Kutta's fourth order (Abramowitz and Stegun 25.5.10).</summary>
public class PlanAgainstIntegratorTests
{
    private const double StepHours = 1.0 / 240;

    private static readonly double[] Bags = [50, 410, 900, 3000, 46_000];
    private static readonly double?[] Heads = [null, 0.5, 1.2];

    [Fact]
    public void Times_to_even_agree_for_fills_standpipes_draw_offs_and_falling_heads()
    {
        // A draw-off below the first volume lifts the head above the first: the drip is then faster than at the start.
        var low = River.With(d => d with { AreaSquareMetres = 0.02 }, d => d with { HeadMetres = 0.2, FlowMillilitresPerMinute = 5 }, m => m with { ToleranceMicrosiemensPerCm = 60, TemperatureToleranceCelsius = 3 }) with
        { DrawOffs = [new DrawOff(60, 1, 0.02)] };
        var planned = Planner.Make(low).Even.Middle;
        Assert.Equal(FirstEven(low, 60, planned * 1.2), planned, 0.01);
        var compared = 0;
        Gen.Select(Gen.Double[0.5, 5], Gen.Double[2, 60], Gen.Int[0, 4], Gen.Double[0.05, 0.4], Gen.Double[19, 25], Gen.Double[0, 8], Gen.Int[0, 2], Gen.Int[0, 2])
            .Sample((start, flow, water, left, room, air, height, kind) =>
            {
                var bag = Bags[water];
                var head = Heads[height];
                var station = River.With(
                    v => v with { StartVolumeLitres = start, StartVolumeSdLitres = 0.01, BrimLitres = 500, BrimSdLitres = 1, FreeboardLitres = 10, Mode = kind == 1 ? VesselMode.Standpipe : VesselMode.Fill, StandpipeLitres = kind == 1 ? 2 * start : null },
                    d => d with { FlowMillilitresPerMinute = flow, HeadMetres = head },
                    m => m with { ToleranceMicrosiemensPerCm = left * Math.Abs(bag - 185) },
                    waters: w => w with { BagMicrosiemensPerCm = bag }) with
                {
                    Room = new() { TemperatureCelsius = room },
                    Evaporation = new() { MillilitresPerHour = air },
                    DrawOffs = kind == 2 ? [new DrawOff(3 * 3600, 0.6 * start, 0.02), new DrawOff(5 * 3600, 0.4 * start, 0.02)] : [],
                };
                var plan = Planner.Make(station);
                if (double.IsInfinity(plan.Even.Middle)) return;
                Interlocked.Increment(ref compared);
                var stepped = FirstEven(station, plan.ToleranceMicrosiemensPerCm, plan.Even.Middle * 1.1);
                if (Math.Abs(plan.Even.Middle - stepped) <= (0.002 * stepped) + (2 * StepHours)) return;
                // Where it settles just within a tolerance, a thousandth of a degree is an hour: then the values must agree, not the moment.
                var (early, late) = (FirstEven(station, plan.ToleranceMicrosiemensPerCm, plan.Even.Middle * 1.1, 0.002), FirstEven(station, plan.ToleranceMicrosiemensPerCm, plan.Even.Middle * 1.1, -0.002));
                Assert.True(early <= plan.Even.Middle && plan.Even.Middle <= late, $"planned {plan.Even.Middle} h, stepped {stepped} h, for 0.002 °C more or less {early} to {late} h");
            }, iter: 60);
        Assert.True(compared > 20, $"{compared} compared");
    }

    /// <summary>Hours at which the stepped vessel comes within both tolerances; the search for a dwell is left out, so waters that only pass through are not drawn.</summary>
    private static double FirstEven(Station station, double tolerance, double mostHours, double moreCelsius = 0)
    {
        var (vessel, waters) = (station.Vessel, station.Waters);
        double[] state = [vessel.StartVolumeLitres, vessel.StartVolumeLitres * waters.BagMicrosiemensPerCm, vessel.StartVolumeLitres * waters.BagTemperatureCelsius, 0];
        var drawn = 0;
        for (var hours = 0.0; hours < mostHours; hours += StepHours)
        {
            if (Math.Abs((state[1] / state[0]) - waters.TankMicrosiemensPerCm) <= tolerance
                && Math.Abs((state[2] / state[0]) - waters.TankTemperatureCelsius) <= station.Match.TemperatureToleranceCelsius + moreCelsius) return hours;
            if (drawn < station.DrawOffs.Count && hours * 3600 >= station.DrawOffs[drawn].AtSeconds)
            {
                var share = 1 - (station.DrawOffs[drawn++].Litres / state[0]);
                for (var i = 0; i < 3; i++) state[i] *= share;
            }

            var (a, b, c, d) = (Rates(station, state, hours), new double[4], new double[4], new double[4]);
            b = Rates(station, Ahead(state, a, StepHours / 2), hours + (StepHours / 2));
            c = Rates(station, Ahead(state, b, StepHours / 2), hours + (StepHours / 2));
            d = Rates(station, Ahead(state, c, StepHours), hours + StepHours);
            for (var i = 0; i < 4; i++) state[i] += StepHours / 6 * (a[i] + (2 * b[i]) + (2 * c[i]) + d[i]);
        }

        return double.PositiveInfinity;
    }

    private static double[] Ahead(double[] state, double[] rates, double hours) => [.. state.Select((value, i) => value + (hours * rates[i]))];

    /// <summary>Litres, litres x conductivity, litres x °C, litres come in: the balances, written out.</summary>
    private static double[] Rates(Station station, double[] state, double hours)
    {
        var (waters, vessel) = (station.Waters, station.Vessel);
        var lost = ((state[0] - vessel.StartVolumeLitres) / vessel.AreaSquareMetres!.Value) + (state[3] / station.Source.SurfaceAreaSquareMetres); // mm
        var head = station.Drip.HeadMetres is { } metres ? Math.Pow(1 - (lost / 1000 / metres), 0.75) : 1;
        var inflow = station.Drip.FlowMillilitresPerMinute!.Value * 0.06 * head;
        var air = station.Evaporation.MillilitresPerHour / 1000;
        var outflow = state[0] >= vessel.StandpipeLitres ? inflow - air : 0;
        var (conductivity, celsius) = (state[1] / state[0], state[2] / state[0]);
        var perWatt = 3.6 / 4.169; // K L/h for each W: 4169 J/(L K) (IAPWS-95 at 25 °C)
        return
        [
            inflow - outflow - air,
            (inflow * waters.TankMicrosiemensPerCm) - (outflow * conductivity),
            (inflow * waters.TankTemperatureCelsius) - ((outflow + air) * celsius)
                + (vessel.HeatExchangeWattsPerKelvin * perWatt * (station.Room.TemperatureCelsius - celsius)) - (air * 583.96),
            inflow,
        ];
    }
}
