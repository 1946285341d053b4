using Evenwater.Core.Alarms;
using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;

namespace Evenwater.Core.Waiting;

/// <summary>Whether waters that were even still are, while the animals wait.</summary>
internal static class EvenStill
{
    /// <summary>At this probability or less they count as no longer even: rather not than even. Common practice, no source.</summary>
    public const double Doubtful = 0.5;

    /// <summary>Temperatures count as apart from here beyond the tolerance, °C, and as together again at it: more than two steps of a thermometer of 1/16 °C.</summary>
    private const double BeyondCelsius = 0.2;

    /// <summary>True: no longer even; null: can not be told.</summary>
    /// <param name="state">The station.</param>
    /// <param name="already">Whether they counted as no longer even before.</param>
    public static bool? No(StationState state, bool already)
    {
        if (state.Phase != Phase.Holding || !state.WasEven)
        {
            return false;
        }

        var warmth = Apart(state, already);
        var salts = !state.HasForecast || state.Forecast.Health == Health.Blind ? (bool?)null
            : Evenness.Likely(state) > Doubtful + (already ? AlarmTable.Of(AlarmId.NoLongerEven).Setpoint.Deadband : 0) ? false
            // A tank that nobody measures is less sure by the hour: that shows no parting.
            : state.Readings[Channel.TankConductivity].Reason == Reason.NotFitted ? null : true;
        return warmth == true || salts == true ? true : warmth is null || salts is null ? null : false;
    }

    /// <summary>Without a tank thermometer the temperatures are not judged.</summary>
    private static bool? Apart(StationState state, bool already)
    {
        var (vessel, tank) = (state.Readings[Channel.VesselTemperature], state.Readings[Channel.TankTemperature]);
        return tank.Reason == Reason.NotFitted ? false
            : vessel.TryGet(out var v) && tank.TryGet(out var t) ? Math.Abs(v - t) > state.Station.Match.TemperatureToleranceCelsius + (already ? 0 : BeyondCelsius)
            : null;
    }
}
