using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.CoreTests.Protection;

namespace Evenwater.CoreTests.Waiting;

/// <summary>A station whose water stands still.</summary>
internal static class StillWater
{
    public static readonly MonotonicTime Stood = MonotonicTime.FromSeconds(1000);

    /// <summary>A run that was closed, with 9 L, in its first second of standing.</summary>
    public static StationState At(double vessel, double? tank, double room, Animals? animals = null, bool wasEven = false)
    {
        var readings = Readings.None();
        readings[Channel.VesselTemperature] = Reading.Of(vessel, Stood);
        readings[Channel.TankTemperature] = tank is { } known ? Reading.Of(known, Stood) : Reading.Missing(Reason.NoAnswer, Stood);
        readings[Channel.TankConductivity] = Reading.Of(185, Stood);
        return new(TestStation.Make() with { Room = new Room { TemperatureCelsius = room } })
        {
            Phase = Phase.Holding, PhaseSince = Stood, StoodSince = Stood, LastStepAt = Stood, HasForecast = true, Readings = readings, WasEven = wasEven,
            Run = new RunStart(1, TestStation.Prior, 7) { Animals = animals },
            LatestForecast = new Forecast { MatchedProbability = 0.99, VolumeLitres = new(9, 9.1, 9.2, 9.3, 9.4) },
        };
    }
}
