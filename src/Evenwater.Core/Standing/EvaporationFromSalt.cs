using Evenwater.Core.Calibration;

namespace Evenwater.Core.Standing;

/// <summary>
/// Water lost to the air, told by the salt that stays behind: with nothing poured in or taken out, salt times volume is constant, so volume is lost at the rate at
/// which the salt's share rises. Straight lines through what lies between two acts of the keeper, put together by their spreads.
/// </summary>
/// <param name="LitresPerDay">Loss, L a day; negative when conductivity falls.</param>
/// <param name="SdLitresPerDay">1-sigma of it.</param>
/// <param name="Days">How many days between acts it rests on.</param>
public readonly record struct EvaporationFromSalt(double LitresPerDay, double SdLitresPerDay, double Days)
{
    /// <summary>What is left out after each act, h: until it has mixed through the tank. Common practice, no source.</summary>
    public const double MixingHours = 2;

    /// <summary>A stretch shorter than a day is left out: temperature, and with it what compensation leaves, has a daily course.</summary>
    public const double LeastDays = 1;

    /// <summary>Whether it is more than noise: two standard deviations off nothing.</summary>
    public bool Tells => Math.Abs(LitresPerDay) > 2 * SdLitresPerDay;

    /// <summary>The loss over a span; null when no day lies between two acts.</summary>
    /// <param name="conductivity">Stretches of conductivity at 25 °C, µS/cm, more than 0, in order of time; an hour long at the most.</param>
    /// <param name="acts">When the keeper changed, topped off or dosed.</param>
    /// <param name="tankLitres">Water in the tank, L, more than 0.</param>
    public static EvaporationFromSalt? Of(IEnumerable<Stretch> conductivity, IEnumerable<DateTimeOffset> acts, double tankLitres)
    {
        ArgumentNullException.ThrowIfNull(conductivity);
        if (!(tankLitres > 0)) throw new ArgumentOutOfRangeException(nameof(tankLitres), tankLitres, "Allowed: more than 0 L.");
        DateTimeOffset[] sorted = [.. acts.Order()];
        var (weights, weighted, days) = (0.0, 0.0, 0.0);
        foreach (var between in conductivity.Where(stretch => stretch.Mean > 0).GroupBy(stretch => Between(stretch, sorted)).Where(group => group.Key is not null))
        {
            if (Line([.. between]) is not { } line) continue;
            var weight = 1 / (line.SdPerDay * line.SdPerDay);
            (weights, weighted, days) = (weights + weight, weighted + (weight * line.PerDay), days + line.Days);
        }

        return weights > 0 ? new(tankLitres * weighted / weights, tankLitres / Math.Sqrt(weights), days) : null;
    }

    /// <summary>Which stretch between two acts, or null just after one.</summary>
    private static int? Between(in Stretch stretch, DateTimeOffset[] acts)
    {
        var to = stretch.To;
        var before = acts.Count(act => act < to);
        return before > 0 && (stretch.From - acts[before - 1]).TotalHours < MixingHours ? null : before;
    }

    /// <summary>Farther off the middle of its stretch than this share no evaporation goes between two acts: the probe was in its bath, or dry. Common practice, no source.</summary>
    private const double MostOff = 0.2;

    private static (double PerDay, double SdPerDay, double Days)? Line(Stretch[] all)
    {
        var middle = Spread.Median(all.Select(stretch => stretch.Mean));
        var salt = SaltMeasure.IsSalt(middle);
        Stretch[] stretches = [.. all.Where(stretch => Math.Abs(stretch.Mean - middle) <= MostOff * middle && (!salt || SaltMeasure.IsSalt(stretch.Mean)))];
        var days = stretches.Length < 8 ? 0 : (stretches[^1].To - stretches[0].From).TotalDays;
        if (days < LeastDays) return null;
        double[] x = [.. stretches.Select(stretch => (stretch.Middle - stretches[0].From).TotalDays)];
        double[] y = [.. stretches.Select(stretch => Math.Log(SaltMeasure.Of(stretch.Mean, salt)))];
        var line = StraightLine.Fit(x, y);

        // No probe holds better than this in a day.
        const double LeastSdPerDay = 2e-4;
        return (line.Slope, Math.Max(SlopeSd(x, y), LeastSdPerDay / Math.Sqrt(days)), days);
    }

    /// <summary>
    /// Neighbours that err alike count for fewer points (<see cref="Memory"/>). Where each errs by itself too they look less alike than they are, so it is looked at in longer stretches as well, as by
    /// <see cref="Charting.Trend"/>, and the widest counts.
    /// </summary>
    private static double SlopeSd(double[] x, double[] y)
    {
        const int Each = 4, LeastPoints = 12;
        var line = StraightLine.Fit(x, y);
        var degrees = Memory.Worth([.. x.Zip(y, (at, value) => value - line.At(at))], negligible: 1e-12) - 2;
        var sd = line.SlopeSd(Math.Sqrt(line.SumSquares / Math.Max(degrees, 1)));
        return x.Length / Each < LeastPoints ? sd : Math.Max(sd, SlopeSd([.. x.Chunk(Each).Select(some => some.Average())], [.. y.Chunk(Each).Select(some => some.Average())]));
    }
}
