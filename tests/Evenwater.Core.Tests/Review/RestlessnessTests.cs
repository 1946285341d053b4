using Evenwater.Core.Review;
using Evenwater.Core.Standing;

namespace Evenwater.CoreTests.Review;

public class RestlessnessTests
{
    private const int Days = 30;
    private static readonly DateTimeOffset Start = new(2026, 6, 1, 0, 0, 0, TimeSpan.Zero);

    // A middle that wanders with a memory of an hour and comes back, 0.15 %, and 0.05 % of each point alone: first-order autoregression.
    private static double[] Wandering(int seed, double lasting = 0.15, double alone = 0.05, int points = Days * 96)
    {
        var random = new Random(seed);
        double Gauss() => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
        var keep = Math.Exp(-0.25);
        var wander = lasting * Gauss();
        return [.. Enumerable.Range(0, points).Select(_ => (wander = (keep * wander) + (Math.Sqrt(1 - (keep * keep)) * lasting * Gauss())) + (alone * Gauss()))];
    }

    private static Course Conductivity(double[] percent) => Course.Of(
        Channel.TankConductivity, percent.Select((value, i) => new Stretch(Start.AddMinutes(15 * i), TimeSpan.FromMinutes(15), 500 * Math.Exp((value + (0.3 * Math.Sin(2 * Math.PI * i / 96))) / 100))),
        Start, Start.AddDays(percent.Length / 96), TimeZoneInfo.Utc);

    [Fact] // Means of ten months, each known to some 5 %.
    public void What_a_channel_does_by_itself_is_told_from_it_and_a_slope_or_a_step_moves_that_little()
    {
        Restlessness[] plain = [.. Enumerable.Range(0, 10).Select(seed => Restlessness.Of([.. Wandering(seed).Select(v => (double?)v)], 0.001))];
        Restlessness[] moved = [.. Enumerable.Range(0, 10).Select(seed => Restlessness.Of([.. Wandering(seed).Select((v, i) => (double?)(v + (2.0 / 96 * Math.Clamp(i - 960, 0, 576)) - (i > 2200 ? 8 : 0))), ], 0.001))];
        foreach (var told in new[] { plain, moved })
        {
            Assert.Equal(Math.Sqrt((0.15 * 0.15) + (0.05 * 0.05)), told.Average(one => one.OfPoint), 0.01);
            Assert.Equal(4, told.Average(one => -1 / Math.Log(one.Keep)), 1.2); // an hour, points
        }
    }

    // What was read for so long, at the end of four weeks of which nothing else was read.
    private static Course Young(int seed, double hours, Func<int, double>? added = null)
    {
        var first = Start.AddDays(28) - TimeSpan.FromHours(hours);
        var percent = Wandering(seed, points: (int)(4 * hours));
        return Course.Of(
            Channel.TankConductivity, percent.Select((value, i) => new Stretch(first.AddMinutes(15 * i), TimeSpan.FromMinutes(15), 500 * Math.Exp((value + (added?.Invoke(i) ?? 0)) / 100))),
            Start, Start.AddDays(28), TimeZoneInfo.Utc);
    }

    [Theory] // Its noise would be held against the least that a device can tell, a third of it.
    [InlineData(8)]
    [InlineData(20)]
    [InlineData(31.75)]
    public void Until_it_is_known_what_a_channel_does_by_itself_nothing_is_told_of_it(double hours) => Assert.All(Enumerable.Range(0, 20), seed =>
    {
        var course = Young(seed, hours);
        Assert.False(course.KnowsItself);
        Assert.Empty(Swings.Of(course));
    });

    [Theory] // Of 100 such logs of two days 13 held a swing that was none, of 32 h 4, of 20 days 48.
    [InlineData(Restlessness.LeastHours)]
    [InlineData(48)]
    [InlineData(96)]
    public void From_a_day_and_a_third_on_it_is_known_noise_alone_is_seldom_told_and_a_change_of_a_fiftieth_is(double hours)
    {
        Course[] calm = [.. Enumerable.Range(0, 20).Select(seed => Young(seed, hours))];
        Assert.All(calm, course => Assert.True(course.KnowsItself));
        Assert.InRange(calm.Sum(course => Swings.Of(course).Count), 0, 6);
        var changed = (int)(4 * hours) - 6;
        Assert.InRange(Enumerable.Range(0, 20).Count(seed => Swings.Of(Young(seed, hours, i => i < changed ? 0 : 2)).Any(swing => Math.Abs(swing.Size - 2) < 0.7)), 19, 20);
    }

    [Fact] // Against the covariance written out and solved by elimination.
    public void The_best_weights_are_those_of_generalised_least_squares()
    {
        const int N = 12;
        var restless = new Restlessness(0.3, 1.7, 0.8);
        double[] shape = [.. Enumerable.Range(0, N).Select(i => Math.Max(0, i - 6) / 5.0)];
        var covariance = new double[N, N];
        for (var i = 0; i < N; i++) for (var j = 0; j < N; j++) covariance[i, j] = (1.7 * Math.Pow(0.8, Math.Abs(i - j))) + (i == j ? 0.3 : 0);
        var (ofShape, ofOnes) = (Solve(covariance, shape), Solve(covariance, [.. Enumerable.Repeat(1.0, N)]));
        double Dot(double[] a, double[] b) => a.Zip(b, (x, y) => x * y).Sum();
        var (shapes, mixed, levels) = (Dot(ofShape, shape), ofOnes.Zip(shape, (x, y) => x * y).Sum(), ofOnes.Sum());
        var weights = restless.Best(shape);
        for (var i = 0; i < N; i++) Assert.Equal((ofShape[i] - (mixed / levels * ofOnes[i])) / (shapes - (mixed * mixed / levels)), weights[i], 1e-9);
        Assert.Equal(1, Dot(weights, shape), 1e-9);
        Assert.Equal(0, weights.Sum(), 1e-9);
        Assert.Equal(Math.Sqrt(1 / (shapes - (mixed * mixed / levels))), restless.Sd(weights), 1e-9);
    }

    [Theory]
    [InlineData(30, 0.05)]
    [InlineData(10, -0.4)]
    public void A_knee_is_found_where_the_line_begins(int knee, double slope) =>
        Assert.Equal(knee, LineBreak.Of([.. Enumerable.Range(0, 50).Select(i => 3 + (slope * Math.Max(0, i - knee + 1)))], 4)!.Value.After);

    [Fact]
    public void A_level_has_no_knee() => Assert.Null(LineBreak.Of([1, 1, 1, 1, 1, 1, 1, 1, 1], 2));

    // Stated: less than one call a month for three channels on noise alone, so a third for one: 4 in 12 months, and 12 are once in a thousand such tests (Poisson).
    [Fact]
    public void Noise_with_a_memory_and_a_daily_course_calls_less_than_once_in_three_months_of_a_channel()
    {
        var calls = Enumerable.Range(0, 12).Sum(seed => Swings.Of(Conductivity(Wandering(1000 + seed))).Count);
        Assert.InRange(calls, 0, 11);
    }

    [Fact]
    public void Where_a_log_begins_nothing_swings()
    {
        double[] value = Wandering(7); // 0.16 %
        var course = Course.Of(
            Channel.TankConductivity, value.Select((v, i) => new Stretch(Start.AddDays(9).AddMinutes(15 * i), TimeSpan.FromMinutes(15), 500 * Math.Exp(v / 100))),
            Start, Start.AddDays(9 + Days), TimeZoneInfo.Utc);
        Assert.DoesNotContain(Swings.Of(course), swing => Math.Abs(swing.Size) > 1); // per cent; noise alone calls now and then
    }

    // A slope of 2 % a day is three sigmas of 0.158 % after 5.7 h.
    [Fact]
    public void A_slope_is_mostly_found_by_two_hours_after_it_is_three_sigmas()
    {
        const int Begins = 1500;
        var found = Enumerable.Range(0, 12).Count(seed => Swings.Of(Conductivity([.. Wandering(2000 + seed).Select((v, i) => v + (2.0 / 96 * Math.Max(0, i - Begins)))]))
            .Any(swing => swing.FoundAt > Begins && swing.FoundAt <= Begins + 31 && swing.Size > 0));
        Assert.InRange(found, 10, 12);
    }

    [Fact] // Readings of a minute: six times as wide from the tenth day on, for a day.
    public void Readings_that_scatter_wider_are_told_and_since_when_though_their_middle_is_as_ever()
    {
        var random = new Random(11);
        double Gauss() => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
        var course = Course.Of(
            Channel.TankTemperature, Enumerable.Range(0, 16 * 1440).Select(i => new Stretch(Start.AddMinutes(i), TimeSpan.FromMinutes(1), 25 + (0.03 * (i / 1440 == 10 ? 6 : 1) * Gauss()))),
            Start, Start.AddDays(16), TimeZoneInfo.Utc);
        var told = Unrest.Of(course).ToList();
        Assert.InRange(told[0].At, 958, 961);
        Assert.InRange(told[0].FoundAt, 961, 964);
        Assert.True(told[0].Restless);
        Assert.InRange(Math.Exp(told[0].Size), 2, 8);
        Assert.DoesNotContain(told[1..], one => one.Restless);
    }

    private static double[] Solve(double[,] matrix, double[] right)
    {
        var n = right.Length;
        var (a, x) = ((double[,])matrix.Clone(), (double[])right.Clone());
        for (var k = 0; k < n; k++)
        {
            for (var i = k + 1; i < n; i++)
            {
                var factor = a[i, k] / a[k, k];
                for (var j = k; j < n; j++) a[i, j] -= factor * a[k, j];
                x[i] -= factor * x[k];
            }
        }

        for (var i = n - 1; i >= 0; i--)
        {
            for (var j = i + 1; j < n; j++) x[i] -= a[i, j] * x[j];
            x[i] /= a[i, i];
        }

        return x;
    }

    [Fact] // minute by minute, so that the readings' own spread is looked at as well
    public void A_probe_that_reads_nought_for_days_has_no_restlessness_and_no_swing()
    {
        var course = Course.Of(Channel.TankConductivity, Enumerable.Range(0, 2 * 1440).Select(i => new Stretch(Start.AddMinutes(i), TimeSpan.FromMinutes(1), 0)), Start, Start.AddDays(2), TimeZoneInfo.Utc);
        Assert.True(course.Unrest!.Restlessness.IsKnown);
        Assert.Empty(Swings.Of(course));
    }
}
