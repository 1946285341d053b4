using CsCheck;
using Evenwater.Core.Estimation;
using Evenwater.Core.Stations;

namespace Evenwater.CoreTests.Stations;

public class UnattendedTests
{
    [Fact]
    public void The_river_may_be_left_alone()
    {
        Assert.Equal(7.68, Unattended.SiphonLitres(River.Station.Source)!.Value, 9); // 0.48 m2 x 16 mm
        Assert.Equal(10, Unattended.FreeLitres(River.Station.Vessel), 9); // 11.6 - 1.6, of which 80 % is 8.0
        Assert.Empty(Unattended.Refusals(River.Station));
    }

    [Fact]
    public void A_deeper_intake_is_refused_and_told_how_far_to_raise_it()
    {
        var refusal = Assert.Single(Unattended.Refusals(River.With(source: s => s with { IntakeDepthMillimetres = 17 }))); // 8.16 L > 8.0 L
        Assert.Equal("source.intakeDepthMillimetres", refusal.Key);
        Assert.EndsWith("(80 % of the vessel's free volume)", refusal.Allowed, StringComparison.Ordinal);
        Assert.Equal("Raise the intake to at most 16 mm below the surface.", refusal.Advice); // 8.0 / 0.48 = 16.7
    }

    [Fact]
    public void An_uncounted_top_off_is_refused_whatever_the_depth()
        => Assert.Equal("source.automaticTopOff", Assert.Single(Unattended.Refusals(
            River.With(source: s => s with { AutomaticTopOff = true, IntakeDepthMillimetres = 1 }))).Key);

    [Theory]
    [InlineData(0.3, null)] // 7.68 + 0.3 = 7.98
    [InlineData(0.32, null)] // 8, all of it
    [InlineData(0.4, 15)] // 8.08; the 0.4 L leave 7.6 / 0.48 = 15.8 mm
    public void A_counted_top_off_adds_its_reservoir(double reservoirLitres, int? raiseTo)
    {
        var refusals = Unattended.Refusals(River.With(source: s => s with { AutomaticTopOff = true, TopOffReservoirLitres = reservoirLitres }));
        Assert.Equal(raiseTo is { } most ? [$"Raise the intake to at most {most} mm below the surface."] : [], refusals.Select(refusal => refusal.Advice));
    }

    /// <summary>To the standpipe at 6 L there is room for 4.4 L, and what more comes runs into the catch vessel: 7.68 L want 9.6 L of room in all.</summary>
    [Theory]
    [InlineData(3, true)] // 7.4 L: on the floor from then on
    [InlineData(5.1, true)] // 9.5
    [InlineData(5.3, false)] // 9.7
    [InlineData(20, false)] // the vessel's own 10 L, should the standpipe clog
    public void With_a_standpipe_what_can_siphon_must_fit_its_catch_vessel(double catches, bool refused)
    {
        var refusals = Unattended.Refusals(River.With(v => v with { Mode = VesselMode.Standpipe, StandpipeLitres = 6, StandpipeSdLitres = 0.1, CatchLitres = catches }));
        Assert.Equal(refused, refusals.Count > 0);
        if (!refused) return;
        Assert.Contains("catch vessel", Assert.Single(refusals).Advice, StringComparison.Ordinal);
        Assert.Contains("catch vessel", refusals[0].Allowed, StringComparison.Ordinal);
    }

    [Fact]
    public void Nothing_that_is_not_refused_can_siphon_past_the_brim()
        => Gen.Select(Gen.Double[0.1, 2], Gen.Double[1, 60], Gen.Bool, Gen.Double[0, 30], Gen.Double[0.1, 10]).Sample(
            (area, depth, topOff, reservoir, start) =>
            {
                var station = River.With(
                    v => v with { StartVolumeLitres = start },
                    source: s => s with { SurfaceAreaSquareMetres = area, IntakeDepthMillimetres = depth, AutomaticTopOff = topOff, TopOffReservoirLitres = reservoir });
                var most = (area * depth) + (topOff ? reservoir : 0);
                return Unattended.Refusals(station).Count > 0 || start + most < station.Vessel.BrimLitres;
            });

    /// <summary>480 L on 480 m2 are a millimetre already: no intake can be raised, and a top-off that is not there can not be switched off.</summary>
    [Theory]
    [InlineData(false, "Take a larger vessel, or start with less water.")]
    [InlineData(true, "Take a larger vessel, start with less water, or switch the top-off off.")]
    public void What_can_not_be_raised_is_told_what_else_can_be_done(bool topOff, string advice) => Assert.Equal(advice, Assert.Single(Unattended.Refusals(
        River.With(source: s => s with { SurfaceAreaSquareMetres = 480, IntakeDepthMillimetres = 1, AutomaticTopOff = topOff, TopOffReservoirLitres = topOff ? 1 : null }))).Advice);
}
