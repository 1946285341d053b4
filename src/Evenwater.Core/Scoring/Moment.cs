using Evenwater.Core.Estimation;

namespace Evenwater.Core.Scoring;

/// <summary>What was forecast at one moment: seconds from then to both events.</summary>
/// <param name="Seconds">The moment, s from the start of the trace.</param>
/// <param name="Match">s from then until even.</param>
/// <param name="Brim">s from then until brim less freeboard.</param>
public readonly record struct Call(double Seconds, Quantiles Match, Quantiles Brim);

/// <summary>A forecast at one moment on the way to an event that came, and how long it took in truth.</summary>
/// <param name="Percent">How far on the way the moment was asked for, 25, 50 or 75.</param>
/// <param name="Seconds">The forecast's own moment, s; after a gap it may lie before the one asked for.</param>
/// <param name="Said">What was said then, s from then.</param>
/// <param name="Truth">What was true then, s from then.</param>
public readonly record struct Moment(int Percent, double Seconds, Quantiles Said, double Truth)
{
    /// <summary>How far on the way to an event a forecast is judged, %.</summary>
    public static IReadOnlyList<int> Percents { get; } = [25, 50, 75];

    /// <summary>Twice the mean quantile loss, ln s.</summary>
    public double Pinball => Loss.Pinball(Said, Truth);

    /// <summary>Continuous ranked probability score, ln s.</summary>
    public double Crps => Loss.Crps(Said, Truth);

    /// <summary>Whether the truth lay in the 90 % interval.</summary>
    public bool Covered => Loss.Covers(Said, Truth);

    /// <summary>Relative error of the median.</summary>
    public double RelativeError => Loss.RelativeError(Said, Truth);

    /// <summary>
    /// The moments of one event. The latest forecast at each is judged, and counts from its own moment. An event that never came
    /// is not judged, nor is a moment before the first forecast.
    /// </summary>
    /// <param name="calls">All forecasts, by time.</param>
    /// <param name="eventSeconds">When the event came, s from the start of the trace, or null.</param>
    /// <param name="pick">Which of a call's forecasts is of this event.</param>
    public static IEnumerable<Moment> Of(IReadOnlyList<Call> calls, double? eventSeconds, Func<Call, Quantiles> pick)
    {
        if (eventSeconds is not { } came)
        {
            yield break;
        }

        foreach (var percent in Percents)
        {
            var latest = LatestAt(calls, came * percent / 100);
            if (latest >= 0)
            {
                yield return new Moment(percent, calls[latest].Seconds, pick(calls[latest]), came - calls[latest].Seconds);
            }
        }
    }

    private static int LatestAt(IReadOnlyList<Call> calls, double seconds)
    {
        var latest = calls.Count - 1;
        while (latest >= 0 && calls[latest].Seconds > seconds)
        {
            latest--;
        }

        return latest;
    }
}
