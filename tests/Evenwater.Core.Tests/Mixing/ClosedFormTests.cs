using CsCheck;
using Evenwater.Core.Mixing;

namespace Evenwater.CoreTests.Mixing;

public class ClosedFormTests
{
    private const double Agreement = 1e-9;

    /// <summary>Start volume, inflow, outflow, evaporation, exchange, hours: such that the vessel never runs empty.</summary>
    private static readonly Gen<(double Litres, double In, double Out, double ToAir, double WattsPerKelvin, double Hours)> Vessels =
        Gen.Select(Gen.Double[0.5, 20], Gen.Double[0.01, 5], Gen.Double[0, 1], Gen.Double[0, 0.2], Gen.Double[0, 5], Gen.Double[0.01, 12])
            .Select((litres, inflow, outShare, airShare, wattsPerKelvin, hours) =>
                (litres, inflow, outShare * inflow, airShare * inflow, wattsPerKelvin, hours))
            .Where(v => v.Item1 + ((v.inflow - v.Item3 - v.Item4) * v.hours) > 0.1 * v.litres);

    [Fact]
    public void The_closed_form_and_the_integrator_agree_to_1e_9_for_any_steady_vessel()
        => Gen.Select(Vessels, Gen.Double[0, 2000], Gen.Double[0, 2000], Gen.Double[5, 35], Gen.Double[5, 35], Gen.Double[5, 35])
            .Sample((v, bag, tank, bagCelsius, tankCelsius, roomCelsius) =>
            {
                var flows = new SteadyFlows(v.In, v.Out, v.ToAir);
                var room = new HeatExchange(v.WattsPerKelvin, roomCelsius);
                var state = VesselEquations.State(v.Litres, bag, bagCelsius);
                var vessel = new VesselEquations
                {
                    InLitresPerHour = _ => v.In,
                    OutLitresPerHour = _ => v.Out,
                    ToAirLitresPerHour = v.ToAir,
                    InflowConcentration = _ => tank,
                    InflowCelsius = _ => tankCelsius,
                    Room = room,
                };
                Integrator.Run(vessel.Rates, state, 0, v.Hours);
                var concentration = flows.Concentration(v.Litres, bag, tank);
                AssertNear(state[0], concentration.LitresAfter(v.Hours));
                AssertNear(state[1] / state[0], concentration.ValueAfter(v.Hours));
                AssertNear(state[2] / state[0], flows.Temperature(v.Litres, bagCelsius, tankCelsius, room).ValueAfter(v.Hours));
            }, iter: 500);

    [Fact]
    public void A_vessel_that_hardly_fills_is_as_exact_as_one_that_does_not_fill()
    {
        // In and out differ by a hundred-millionth: the logarithm of 1 + x must not lose its digits.
        var flows = new SteadyFlows(2, 2, 1.1676e-8);
        var room = new HeatExchange(1.0995083627647873, 2033d / 83);
        var state = VesselEquations.State(10, 389, 239d / 21);
        Integrator.Run(
            new VesselEquations
            {
                InLitresPerHour = _ => 2,
                OutLitresPerHour = _ => 2,
                ToAirLitresPerHour = 1.1676e-8,
                InflowConcentration = _ => 0,
                InflowCelsius = _ => 1315d / 48,
                Room = room,
            }.Rates,
            state, 0, 5);
        AssertNear(state[1] / state[0], flows.Concentration(10, 389, 0).ValueAfter(5));
    }

    [Fact]
    public void A_time_asked_back_gives_the_value_it_was_asked_for()
        => Gen.Select(Vessels, Gen.Double[0, 2000], Gen.Double[0, 2000], Gen.Double[0.01, 0.99]).Sample((v, bag, tank, way) =>
        {
            var vessel = new SteadyFlows(v.In, v.Out, v.ToAir).Concentration(v.Litres, bag, tank);
            var value = bag + (way * (vessel.ValueAfter(v.Hours) - bag));
            var hours = vessel.HoursTo(value);
            return Math.Abs(bag - tank) < 1 || (hours <= v.Hours && Math.Abs(vessel.ValueAfter(hours) - value) <= 1e-7 * Math.Max(1, value));
        });

    [Fact]
    public void A_falling_inflow_agrees_with_the_integrator_to_1e_9_and_a_fill_asks_only_for_its_volume()
        => Gen.Select(Gen.Double[0.5, 5], Gen.Double[0.1, 3], Gen.Double[0.001, 0.5], Gen.Double[0.1, 12]).Sample((litres, first, decay, hours) =>
        {
            var inflow = new FallingInflow(first, decay);
            var state = VesselEquations.State(litres, 410);
            Integrator.Run(new VesselEquations { InLitresPerHour = inflow.LitresPerHourAfter, InflowConcentration = _ => 185 }.Rates, state, 0, hours);
            AssertNear(state[0], litres + inflow.LitresWithin(hours));
            AssertNear(state[1] / state[0], Fill.ConcentrationAt(litres, 410, 185, litres + inflow.LitresWithin(hours)));
            AssertNear(hours, inflow.HoursTo(inflow.LitresWithin(hours)));
        }, iter: 500);

    [Fact]
    public void An_inflow_that_dies_too_early_never_delivers()
        => Assert.Equal(double.PositiveInfinity, new FallingInflow(1, 0.5).HoursTo(2)); // 1 / 0.5 = 2 L in all eternity

    [Fact] // 0.9 L/h for two hours, and 7.4 L at 0.9 L/h
    public void An_inflow_that_does_not_die_away_is_a_steady_one()
    {
        Assert.Equal(1.8, new FallingInflow(0.9, 0).LitresWithin(2), 12);
        Assert.Equal(7.4 / 0.9, new FallingInflow(0.9, 0).HoursTo(7.4), 12);
    }

    [Fact]
    public void What_is_even_already_asks_for_no_water() => Assert.Equal(1.6, Fill.LitresToMatch(1.6, 39, 40));

    [Fact]
    public void A_standpipe_agrees_with_the_integrator_in_two_parts()
    {
        // 2 L at 820, tank 245, 1.2 L/h, standpipe at 10 L: there after 6.667 h at 360; within 30 a further 11.198 h later.
        var filling = new SteadyFlows(1.2);
        var there = filling.HoursToVolume(2, 10);
        Assert.Equal(6.667, there, 3);
        var at = filling.Concentration(2, 820, 245).ValueAfter(there);
        Assert.Equal(360, at, 9);
        var further = new SteadyFlows(1.2, 1.2).Concentration(10, at, 245).HoursTo(275);
        Assert.Equal(11.198, further, 3);
        AssertNear(Standpipe.InflowToMatchLitres(2, 10, 820 - 245, 30), 1.2 * (there + further));
        var state = VesselEquations.State(10, at);
        Integrator.Run(new VesselEquations { InLitresPerHour = _ => 1.2, OutLitresPerHour = _ => 1.2, InflowConcentration = _ => 245 }.Rates, state, 0, further);
        AssertNear(275, state[1] / 10);
    }

    [Fact]
    public void A_standpipe_that_is_never_reached_is_a_fill()
        => Assert.Equal(7.4, Standpipe.InflowToMatchLitres(1.6, 10, 225, 40), 9); // 9.0 - 1.6

    [Theory] // difference 575 to 30: log2(575 / 30) = 4.26 doublings, so five fills with four draw-offs between
    [InlineData(2, 4, 575, 30, 4)]
    [InlineData(2, 4, 575, 40, 3)] // log2(14.4) = 3.85
    [InlineData(1.6, 10.4, 225, 40, 0)] // 5.6 fits into 6.5
    [InlineData(1, 2, 8, 1, 2)] // exactly three doublings
    [InlineData(1, 2, 1, 8, 0)] // even already
    public void Staged_fills_are_counted(double start, double full, double difference, double tolerance, int drawOffs)
    {
        var staged = Staged.Plan(start, full, difference, tolerance)!.Value;
        Assert.Equal(drawOffs, staged.DrawOffs);
        Assert.InRange(staged.EndLitres, start, full + 1e-9);
        var before = Staged.ConcentrationAfter(drawOffs, start, full, difference, 0);
        AssertNear(Math.Min(tolerance, difference), Fill.ConcentrationAt(start, before, 0, staged.EndLitres));
        AssertNear((drawOffs * (full - start)) + staged.EndLitres - start, staged.InflowLitres);
    }

    [Fact]
    public void A_vessel_without_room_has_no_stages()
    {
        Assert.Null(Staged.Plan(2, 2, 100, 10));
        Assert.Null(Staged.Plan(2, 2.0000001, 1e5, 1));
    }

    [Fact]
    public void The_hand_calculation_of_the_river()
    {
        Assert.Equal(9.0, Fill.LitresToMatch(1.6, 410 - 185, 40), 12);
        var vessel = new SteadyFlows(0.9).Concentration(1.6, 410, 185);
        Assert.Equal(7.4 / 0.9, vessel.HoursTo(225), 9); // 8.2 h
        Assert.Equal(8.8 / 0.9, new SteadyFlows(0.9).HoursToVolume(1.6, 10.4), 9); // 9.8 h
    }

    [Fact]
    public void What_never_comes_is_infinite()
    {
        var vessel = new SteadyFlows(0.9).Concentration(1.6, 410, 185);
        Assert.Equal(double.PositiveInfinity, vessel.HoursTo(185)); // only in the limit
        Assert.Equal(double.PositiveInfinity, vessel.HoursTo(500)); // the other way
        Assert.Equal(0, vessel.HoursTo(410));
        Assert.Equal(double.PositiveInfinity, new SteadyFlows(1, 1).HoursToVolume(5, 6));
        Assert.Equal(0, new SteadyFlows(1, 1).HoursToVolume(5, 5));
    }

    private static void AssertNear(double expected, double actual)
        => Assert.True(Math.Abs(expected - actual) <= Agreement * Math.Max(1, Math.Abs(expected)), $"{expected:R} and {actual:R}");
}
