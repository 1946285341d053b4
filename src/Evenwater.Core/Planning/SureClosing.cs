using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>
/// Where the two waters conduct nearly alike, a run closes once its estimator is sure of the share that was replaced, and that comes well after the
/// share itself: hardly anything shows it. So the station's own estimator is run over its own night, noise-free. A calculation about a model, not a promise.
/// </summary>
public static class SureShare
{
    /// <summary>
    /// The vessel when the valve closes as planned; null where conductivity tells, where the valve is opened and closed or water drawn off meanwhile (a rehearsal
    /// shows those), and where it does not close as planned within the horizon: not sure before its mark, or never.
    /// </summary>
    /// <param name="station">The station; what it expects of the waters is taken as true.</param>
    /// <param name="prior">What is known before the run.</param>
    public static CourseAt? ClosesAt(Station station, Prior prior)
    {
        ArgumentNullException.ThrowIfNull(station);
        ArgumentNullException.ThrowIfNull(prior);
        if (PlanTimes.ReplacedWanted(station) is null || station.Pacing is not null || station.DrawOffs.Count > 0) return null;
        var (night, estimator) = (new ImaginedNight(station, prior), new Estimator(prior, seed: 1, station.Safety.TripHorizonSeconds));
        double? since = null;
        for (var seconds = 0.0; seconds < Course.HorizonHours * 3600; seconds += ImaginedNight.StepSeconds)
        {
            var forecasts = estimator.Evaluations;
            estimator.Step(night.At(seconds), valveOpen: true, MonotonicTime.FromSeconds(seconds));
            if (estimator.Evaluations == forecasts) continue;
            ref readonly var forecast = ref estimator.Latest;
            var vessel = night.Vessel(seconds / 3600);
            var warm = Math.Abs(vessel.Celsius - station.Waters.TankTemperatureCelsius) <= station.Match.TemperatureToleranceCelsius;
            var limit = ClosingRisk.Limit(station.Safety.TripProbability, warm ? forecast.EvenProbability : 0);
            var needed = Evenness.Needed(forecast.BrimProbability, limit);
            since = warm && forecast.EvenProbability >= needed ? since ?? seconds : null;
            if (since is { } from && (needed < Evenness.Sure || seconds - from >= station.Match.DwellMinutes * 60)) return vessel;
            if (forecast.BrimProbability > limit) return null;
        }

        return null;
    }
}
