using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Core.Waiting;
using Evenwater.CoreTests.Protection;

namespace Evenwater.CoreTests.Waiting;

/// <summary>Whether waters that were even still are: yes, no, or it can not be told. The test station's temperatures count as even within 1.5 °C.</summary>
public sealed class EvenStillTests
{
    private static readonly MonotonicTime Now = MonotonicTime.FromSeconds(1000);

    [Theory]
    [InlineData(0.9, Health.Ok, 22.0, 22.0, false)]
    [InlineData(0.5, Health.Ok, 22.0, 22.0, true)] // no more likely even than not
    [InlineData(0.51, Health.Ok, 22.0, 22.0, false)]
    [InlineData(0.9, Health.Ok, 22.0, 23.8, true)] // 0.2 beyond 1.5
    [InlineData(0.9, Health.Ok, 22.0, 23.6, false)]
    [InlineData(0.9, Health.Ok, 22.0, 20.2, true)]
    [InlineData(0.9, Health.Blind, 22.0, 22.0, null)] // nobody sees the salts
    [InlineData(0.9, Health.Blind, 22.0, 23.8, true)] // but that they are apart in temperature
    [InlineData(0.9, Health.Ok, null, 22.0, null)]
    [InlineData(0.4, Health.Ok, null, 22.0, true)]
    public void Of_waters_that_were_even_it_is_told_by_what_can_be_seen(double likely, Health health, double? vessel, double? tank, bool? no) =>
        Assert.Equal(no, EvenStill.No(At(likely, health, vessel, tank), already: false));

    [Theory] // once told apart they must come nearer than where they parted
    [InlineData(0.8, 22.0, 22.0, true)] // 0.3 above one half
    [InlineData(0.9, 22.0, 23.6, true)]
    [InlineData(0.81, 22.0, 23.4, false)]
    public void What_has_parted_comes_together_again_only_well_within(double likely, double vessel, double tank, bool no) =>
        Assert.Equal(no, EvenStill.No(At(likely, Health.Ok, vessel, tank), already: true));

    [Fact]
    public void Only_what_was_even_and_waits_can_be_even_no_longer()
    {
        var state = At(0.1, Health.Ok, 22, 30);
        Assert.True(EvenStill.No(state, already: false));
        state.WasEven = false;
        Assert.False(EvenStill.No(state, already: false));
        (state.WasEven, state.Phase) = (true, Phase.Dripping);
        Assert.False(EvenStill.No(state, already: false));
    }

    [Fact]
    public void Without_a_forecast_it_can_not_be_told_and_without_a_tank_thermometer_the_temperatures_are_not_judged()
    {
        var state = At(0.9, Health.Ok, 22, 22);
        state.HasForecast = false;
        Assert.Null(EvenStill.No(state, already: false));
        Assert.False(EvenStill.No(At(0.9, Health.Ok, 22, null, Reason.NotFitted), already: false));
        Assert.Null(EvenStill.No(At(0.9, Health.Ok, 22, null), already: false));
    }

    /// <summary>A drip that closed at 0.95 without a tank probe was "even no longer" 2.4 h later, each time: the doubt of its tank had grown.</summary>
    [Theory]
    [InlineData(0.51, 22.0, false)]
    [InlineData(0.4, 22.0, null)]
    [InlineData(0.4, 23.8, true)] // the temperatures are measured
    public void A_tank_that_nobody_measures_parts_from_nothing(double likely, double tank, bool? no)
    {
        var state = At(likely, Health.Ok, 22, tank);
        var readings = state.Readings;
        readings[Channel.TankConductivity] = Reading.Missing(Reason.NotFitted, Now);
        state.Readings = readings;
        Assert.Equal(no, EvenStill.No(state, already: false));
    }

    private static StationState At(double likely, Health health, double? vessel, double? tank, Reason without = Reason.NoAnswer)
    {
        var readings = Readings.None();
        readings[Channel.VesselTemperature] = vessel is { } v ? Reading.Of(v, Now) : Reading.Missing(Reason.NoAnswer, Now);
        readings[Channel.TankTemperature] = tank is { } t ? Reading.Of(t, Now) : Reading.Missing(without, Now);
        readings[Channel.TankConductivity] = Reading.Of(185, Now);
        return new(TestStation.Make())
        {
            Phase = Phase.Holding, WasEven = true, HasForecast = true, Readings = readings,
            LatestForecast = new Forecast { MatchedProbability = likely, Health = health },
        };
    }
}
