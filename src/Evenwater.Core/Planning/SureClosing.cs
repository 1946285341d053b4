using Evenwater.Core.Estimation;
using Evenwater.Core.Quantities;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>How a run would end by its own estimator; both null: within the horizon it is never sure that the waters are even, nor that the mark is near.</summary>
/// <param name="Closes">The vessel when it is sure that the waters are even, and closes as planned.</param>
/// <param name="Trips">The vessel when its forecast closes before that.</param>
internal readonly record struct SureClosing(CourseAt? Closes, CourseAt? Trips)
{
    /// <summary>
    /// A run closes once its estimator is sure, and that comes after the waters are even: by a fiftieth where the conductivity shows it, by a fifth where the
    /// probes are known badly, by more where the waters conduct alike. So the station's own estimator is run over its own night, noise-free: a calculation
    /// about a model, not a promise.
    /// </summary>
    /// <param name="station">The station; what it expects of the waters is taken as true.</param>
    /// <param name="prior">What is known before the run.</param>
    /// <param name="drip">The drip, where it is another than is thought.</param>
    public static SureClosing Of(Station station, Prior prior, FlowRate? drip = null)
    {
        var (night, estimator) = (new ImaginedNight(station, prior, drip), new Estimator(prior, seed: 1, station.Safety.TripHorizonSeconds));
        double? since = null;
        var told = 0;
        for (var seconds = 0.0; seconds < Course.HorizonHours * 3600; seconds += ImaginedNight.StepSeconds)
        {
            var forecasts = estimator.Evaluations;
            var drawn = night.Vessel.DrawnLitres;
            var readings = night.At(seconds);
            var vessel = night.Vessel;
            if (vessel.DrawnLitres > drawn) estimator.DrawOff(vessel.DrawnLitres - drawn, station.DrawOffs[told++].RelativeSd);
            estimator.Step(readings, night.ValveOpen, MonotonicTime.FromSeconds(seconds));
            if (estimator.Evaluations == forecasts) continue;
            ref readonly var forecast = ref estimator.Latest;
            var warm = Math.Abs(vessel.Celsius - station.Waters.TankTemperatureCelsius) <= station.Match.TemperatureToleranceCelsius;
            var limit = ClosingRisk.Limit(station.Safety.TripProbability, warm ? forecast.EvenProbability : 0);
            var needed = Evenness.Needed(forecast.BrimProbability, limit);
            since = warm && forecast.EvenProbability >= needed ? since ?? seconds : null;
            if (since is { } from && (needed < Evenness.Sure || seconds - from >= station.Match.DwellMinutes * 60)) return new(vessel, null);
            if (forecast.BrimProbability > limit) return new(null, vessel);
        }

        return new(null, null);
    }
}
