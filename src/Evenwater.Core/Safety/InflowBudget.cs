using Evenwater.Core.Estimation;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Safety;

/// <summary>
/// How much may run in. Draw-offs that the station file plans make room for more, but only once each was told, and never for more
/// than was planned: a claim widens nothing. A run that begins with more water than the station file says has so much less room.
/// </summary>
public static class InflowBudget
{
    /// <summary>The budget now, L: the station's own, and no more than the vessel takes with what was in it at the start and the draw-offs told so far.</summary>
    public static double Litres(StationState state) => Litres(state.Station, state.Run?.Prior.StartVolumeLitres ?? 0, state.RoomMadeLitres);

    /// <summary>The budget of a run that begins anew with what the station file says, L.</summary>
    public static double Litres(Station station) => Litres(station, 0, 0);

    private static double Litres(Station station, double startLitres, double madeLitres)
    {
        var moreLitres = Math.Max(startLitres - station.Vessel.StartVolumeLitres, 0);
        return station.DrawOffs.Count == 0 && moreLitres == 0
            ? station.Safety.MaxInflowLitres // no more than there is room for: the station's rules
            : Math.Min(station.Safety.MaxInflowLitres, RoomLitres(station.Vessel) - moreLitres + madeLitres);
    }

    /// <summary>What the vessel takes to its brim, or to its standpipe and then the catch vessel below, without any draw-off, L. Above the pipe it holds nothing for the catch vessel.</summary>
    public static double RoomLitres(Vessel vessel)
    {
        ArgumentNullException.ThrowIfNull(vessel);
        return (vessel is { Mode: VesselMode.Standpipe, StandpipeLitres: { } pipe, CatchLitres: { } below } ? pipe + below : vessel.BrimLitres) - vessel.StartVolumeLitres;
    }

    /// <summary>What one draw-off makes room for: the next planned one at most, nothing when none is left.</summary>
    internal static double Credit(Station station, int toldBefore, double litres) =>
        toldBefore < station.DrawOffs.Count ? Math.Min(litres, station.DrawOffs[toldBefore].Litres) : 0;
}
