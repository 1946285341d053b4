using Evenwater.Core.Estimation;
using Evenwater.Core.Planning;
using Evenwater.Core.Stations;
using Evenwater.CoreTests.Stations;

namespace Evenwater.CoreTests.Planning;

/// <summary>When a run closes by its own estimator: the river's pail, 1.6 L of it bag water, at 15 mL/min; and waters that conduct alike, of which three quarters are to be replaced.</summary>
public class SureClosingTests
{
    private static readonly Station _alike = Stations.River.With(waters: w => w with { BagMicrosiemensPerCm = 190 });

    private static readonly Prior _measured = new()
    {
        StartVolumeLitres = 1.6,
        StartVolumeRelativeSd = 0.02,
        BrimLitres = 11.6,
        BrimRelativeSd = 0.01,
        FreeboardLitres = 1.2,
        FlowMillilitresPerMinute = 15,
        FlowRelativeSd = 0.05,
        FloatLowLitres = 5,
        FloatHighLitres = 10.8,
        FloatSdLitres = 0.12,
        GainRatioRelativeSd = 0.003,
        ToleranceMicrosiemensPerCm = 40,
        QuantisationMicrosiemensPerCm = 0.03,
        EvaporationMillilitresPerHour = 1,
    };

    /// <summary>1 - 1.6/V = 0.75 at 6.4 L, after 5.3 h. Of twelve nights on the simulated rig (rehearse --calm) the valve closed after 6.1 to 6.5 h.</summary>
    [Fact]
    public void It_closes_later_and_fuller_than_the_share_itself_comes()
    {
        var plan = Planner.Make(_alike, priorOf: _ => _measured);
        Assert.True(plan.IsOnceSure);
        Assert.InRange(plan.WhenEven!.Value.Hours, 5.3, 5.4);
        Assert.InRange(plan.WhenClosed!.Value.Hours, 5.9, 6.5);
        Assert.InRange(plan.WhenClosed!.Value.BagShare, 0.20, 0.24);
        Assert.Equal(plan.WhenClosed.Value.Hours, Alternatives.Of(plan)[0].ReadyHours);
    }

    /// <summary>In a large pail, whose mark does not hurry it.</summary>
    [Fact]
    public void What_is_known_badly_is_sure_later()
    {
        var roomy = _measured with { BrimLitres = 40, FloatHighLitres = null };
        var guessed = Closes(_alike, roomy with { StartVolumeRelativeSd = 0.15, FlowRelativeSd = 0.2 });
        Assert.True(guessed!.Value.Hours > Closes(_alike, roomy)!.Value.Hours + 1, $"{guessed}");
    }

    /// <summary>Even after 5.5 h at 6.5 L, were it sure at once: budgets of 5.8 h and of 5.2 L would do.</summary>
    [Fact]
    public void Budgets_must_last_until_it_is_sure()
    {
        var brief = _alike with { Safety = _alike.Safety with { MaxOpenMinutes = 348, MaxInflowLitres = 5.2 } };
        Assert.True(Planner.Make(brief).Fits);
        Assert.Equal([Obstacle.TimeBudget, Obstacle.VolumeBudget], Planner.Make(brief, priorOf: _ => _measured).Obstacles.Select(o => o.Kind));
    }

    /// <summary>Even at 9.2 L after 8.3 h, of twelve nights on the simulated rig it closed after 8.6 to 8.7 h; with probes known badly, in a pail that does not hurry it, later.</summary>
    [Fact]
    public void Where_conductivity_tells_it_is_sure_soon_after()
    {
        var plan = Planner.Make(Stations.River.Station, priorOf: _ => _measured);
        Assert.InRange(plan.WhenClosed!.Value.Hours, plan.WhenEven!.Value.Hours + (1.0 / 6), 8.9);
        var roomy = _measured with { BrimLitres = 40, FloatHighLitres = null };
        Assert.True(Closes(Stations.River.Station, roomy with { GainRatioRelativeSd = 0.021 })!.Value.Hours > Closes(Stations.River.Station, roomy)!.Value.Hours + 0.5);
    }

    /// <summary>Within 150 µS/cm at 2.4 L, before an hour is over; within a degree of the tank only hours later.</summary>
    [Fact]
    public void It_waits_for_the_temperature()
    {
        var cool = Stations.River.With(match: m => m with { ToleranceMicrosiemensPerCm = 150, TemperatureToleranceCelsius = 1 });
        var plan = Planner.Make(cool, priorOf: _ => _measured with { ToleranceMicrosiemensPerCm = 150 });
        Assert.InRange(plan.EvenInConductivity.Middle, 0.8, 1);
        Assert.True(plan.Even.Middle > 2);
        Assert.InRange(plan.WhenClosed!.Value.Hours, plan.Even.Middle + (1.0 / 6), plan.Even.Middle + 0.2);
    }

    /// <summary>The mark of 7 L comes while the share is 0.77; nobody is sure of it, nor even half sure that it is 0.9.</summary>
    [Fact]
    public void A_forecast_that_closes_before_is_told_with_what_to_do()
    {
        var narrow = _alike with { Vessel = _alike.Vessel with { BrimLitres = 8.2 }, Match = _alike.Match with { ReplacedFraction = 0.9 } };
        var sure = SureClosing.Of(narrow, _measured with { BrimLitres = 8.2, ReplacedFraction = 0.9 });
        Assert.Null(sure.Closes);
        Assert.InRange(sure.Trips!.Value.Litres, 6, 7);
        var tight = Stations.River.Station with { Vessel = Stations.River.Station.Vessel with { BrimLitres = 10.5, BrimSdLitres = 0.4 } };
        var guessed = _measured with { BrimLitres = 10.5, BrimRelativeSd = 0.04, StartVolumeRelativeSd = 0.15, FlowRelativeSd = 0.2, GainRatioRelativeSd = 0.021, FloatLowLitres = null, FloatHighLitres = null };
        var told = Assert.Single(Planner.Make(tight, priorOf: _ => guessed).Obstacles);
        Assert.Equal(Obstacle.ForecastFirst, told.Kind);
        Assert.StartsWith("By what is known the program's own forecast would close at ", told.Text, StringComparison.Ordinal);
        Assert.EndsWith(" before it is sure that the waters are even: measure start volume and brim more closely, or leave more room.", told.Text, StringComparison.Ordinal);
        Assert.True(Planner.Make(tight).Fits);
    }

    /// <summary>Even within 8 µS/cm, and the probes may differ by 3 % of 420: nobody is ever sure.</summary>
    [Fact]
    public void What_is_never_sure_is_told()
    {
        var vast = Stations.River.With(v => v with { BrimLitres = 400, FreeboardLitres = 10 }, waters: w => w with { BagMicrosiemensPerCm = 560, TankMicrosiemensPerCm = 420 }, match: m => m with { ToleranceMicrosiemensPerCm = 8 }, floats: f => f with { LowLitres = null, HighLitres = null });
        var plan = Planner.Make(vast, priorOf: _ => _measured with { BrimLitres = 400, FloatLowLitres = null, FloatHighLitres = null, GainRatioRelativeSd = 0.03, ToleranceMicrosiemensPerCm = 8 });
        Assert.StartsWith("By what is known the program would not be sure within 48 h that the waters are even", Assert.Single(plan.Obstacles, o => o.Kind == Obstacle.NeverSure).Text, StringComparison.Ordinal);
    }

    private static CourseAt? Closes(Station station, Prior prior) => SureClosing.Of(station, prior).Closes;
}
