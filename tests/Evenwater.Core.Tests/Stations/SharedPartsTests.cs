using Evenwater.Core.Stations;

namespace Evenwater.CoreTests.Stations;

/// <summary>Whichever of two stations is asked first.</summary>
public class SharedPartsTests
{
    private static readonly Station Board = River.With(sensors: s => s with { Source = SensorSource.Board });

    [Fact]
    public void A_tank_s_probe_that_is_another_s_vessel_s_is_told_either_way()
    {
        var other = Board with { Sensors = Board.Sensors with { VesselConductivity = Board.Sensors.TankConductivity!, TankConductivity = null } };
        Assert.Contains("sensors.tankConductivity.adcInput", SharedParts.Of(Board, other).Select(problem => problem.Key));
        Assert.Contains("sensors.vesselConductivity.adcInput", SharedParts.Of(other, Board).Select(problem => problem.Key));
    }

    [Fact]
    public void A_simulated_station_takes_nothing_from_one_that_is_wired()
    {
        Assert.NotEmpty(SharedParts.Of(Board, Board));
        Assert.Empty(SharedParts.Of(Board, River.Station));
        Assert.Empty(SharedParts.Of(River.Station, Board));
    }
}
