using Evenwater.Core.Safety;
using Evenwater.Nights.Scoring;
using Evenwater.Running;

namespace Evenwater.Nights.Bound;

/// <summary>What a forecast holds at one moment.</summary>
/// <param name="Seconds">The moment, s.</param>
/// <param name="Risk">Probability that the mark is passed within the trip horizon, 0 to 1.</param>
/// <param name="Even">Probability that the waters are even, 0 to 1.</param>
internal readonly record struct Held(double Seconds, double Risk, double Even)
{
    /// <summary>How many times the risk that may be run is run, by the rule that the program closes by.</summary>
    public double Times(double tripProbability) => Risk / (tripProbability * (1 - ((1 - ClosingRisk.OnceEven) * Even)));
}

/// <summary>One night's closings by the same rule: by the program's own forecast, and by that of somebody who knows the plant's law.</summary>
internal sealed record Closings(Night Night, IReadOnlyList<Held> Said, IReadOnlyList<Held> Best)
{
    private const double HorizonSeconds = 150;
    private const double FirstSeconds = 600;
    private const double LeastSeconds = 240;
    private const double MostSeconds = 3600;

    /// <summary>From here on nobody leaves it open.</summary>
    private const double Enough = 0.5;

    /// <summary>Four chains keep so many each: a risk of one in a hundred is ten of all.</summary>
    private const int Kept = 250;

    /// <summary>Whether it could have been even before its mark.</summary>
    public bool Reachable => Night.MatchSeconds is { } match && !(Night.BrimSeconds <= match);

    public static Closings Of(Night night) => new(night, SaidOf(night), BestOf(night));

    /// <summary>When the rule closes, s; infinite when it never does.</summary>
    /// <param name="all">The forecasts, by time; between two of them the logarithm of the risk goes straight.</param>
    /// <param name="tripProbability">The risk that closes before the waters are even, 0 to 1.</param>
    public static double At(IReadOnlyList<Held> all, double tripProbability)
    {
        for (var i = 0; i < all.Count; i++)
        {
            var here = all[i].Times(tripProbability);
            if (here < 1)
            {
                continue;
            }

            var before = i == 0 ? 0 : all[i - 1].Times(tripProbability);
            return before <= 0
                ? all[i].Seconds
                : all[i - 1].Seconds + ((all[i].Seconds - all[i - 1].Seconds) * Math.Log(1 / before) / Math.Log(here / before));
        }

        return double.PositiveInfinity;
    }

    /// <summary>Whether that was past the mark.</summary>
    public bool PastMark(double closed) => Night.BrimSeconds < closed;

    /// <summary>Whether that was before a match that could be reached.</summary>
    public bool Early(double closed) => Reachable && closed < Night.MatchSeconds;

    private static List<Held> SaidOf(Night night)
    {
        var all = new List<Held>();
        TraceReplay.Run(night.Rows, TraceStation.Of(night.Prior), night.Prior, e => all.Add(new Held(e.Seconds, e.Forecast.BrimProbability, e.Forecast.MatchedProbability)));
        return all;
    }

    /// <summary>Asked the more often the nearer the mark may be, and no longer than until it was passed.</summary>
    private static List<Held> BestOf(Night night)
    {
        var all = new List<Held>();
        var end = Math.Min(night.BrimSeconds + LeastSeconds ?? double.PositiveInfinity, night.Rows[^1].Seconds);
        for (var seconds = FirstSeconds; seconds < end;)
        {
            var best = BoundForecast.At(night, seconds, Kept);
            var n = (double)best.Brim.Length;
            all.Add(new Held(seconds, best.Brim.Count(b => b <= HorizonSeconds) / n, best.Match.Count(m => m <= 0) / n));
            if (all[^1].Risk >= Enough)
            {
                break;
            }

            seconds += Math.Clamp(0.5 * best.Brim[best.Brim.Length / 200], LeastSeconds, MostSeconds);
        }

        return all;
    }
}
