using Evenwater.Core;
using Evenwater.Core.Safety;

namespace Evenwater.Running;

/// <summary>The most that one opening permits, whole and rounded down, so that two programs write it the same.</summary>
/// <param name="Millilitres">Water that may still run in, mL, 0 or more.</param>
/// <param name="Seconds">Time that the valve may still be open, s, 0 or more.</param>
internal readonly record struct OpeningBudget(long Millilitres, long Seconds)
{
    /// <summary>What a run that begins anew may use, or what is left of the one that is held.</summary>
    public static OpeningBudget Of(StationState state)
    {
        var station = state.Station;
        var anew = state.Phase is Phase.Idle or Phase.Finished or Phase.Abandoned;
        var (most, inflow, open) = anew ? (InflowBudget.Litres(station), 0, 0) : (InflowBudget.Litres(state), state.InflowLitres, state.OpenSeconds);
        var litres = Math.Min(most, station.Source.MaxDrawLitres) - inflow;
        var seconds = (station.Safety.MaxOpenMinutes * 60) - open;
        return new((long)Math.Max(Math.Floor(litres * 1000), 0), (long)Math.Max(Math.Floor(seconds), 0));
    }
}
