using Evenwater.Core.Safety;
using Evenwater.Core.Stations;

namespace Evenwater.Page.Planning;

/// <summary>What follows when another vessel or another start is tried: a station's floats and its budget are those of its own vessel, and would only be refused.</summary>
internal static class PlanFollows
{
    /// <summary>The rules want a high float this many of its spreads below the brim (VesselRules).</summary>
    private const double Spreads = 3;

    /// <summary>The station with floats and budget that its vessel can have.</summary>
    /// <param name="station">As it was typed.</param>
    /// <param name="told">Gets what was changed, a sentence each.</param>
    public static Station Of(Station station, List<string> told)
    {
        var wrong = StationRules.Check(station).Select(problem => problem.Key).ToHashSet();
        var (vessel, floats, sensors) = (station.Vessel, station.Floats, station.Sensors);
        if (wrong.Contains("floats.highLitres"))
        {
            var high = vessel.BrimLitres - (Spreads * floats.PositionSdLitres);
            told.Add($"The high float is taken to be at {high:0.0#} L, as near the brim as it may be; the station file's, {floats.HighLitres:0.0#} L, is another vessel's.");
            floats = floats with { HighLitres = high };
        }

        if (wrong.Contains("floats.lowLitres") || floats.LowLitres >= floats.HighLitres)
        {
            told.Add("The low float is left out: the station file's is too high for this vessel.");
            floats = floats with { LowLitres = null };
            sensors = sensors with { FloatLowLine = null };
        }

        var room = InflowBudget.RoomLitres(vessel);
        var follows = station with { Floats = floats, Sensors = sensors };
        if (!wrong.Contains("safety.maxInflowLitres") || room <= 0) return follows;
        told.Add($"What may run in is taken as {room:0.0#} L, all that this vessel can still take; the station file allows {station.Safety.MaxInflowLitres:0.0#} L. Change safety.maxInflowLitres there before a run.");
        return follows with { Safety = station.Safety with { MaxInflowLitres = room } };
    }
}
