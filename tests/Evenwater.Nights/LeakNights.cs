using System.Globalization;
using Evenwater.Nights.Judging;
using Evenwater.Nights.Plant;
using Evenwater.Nights.Scoring;

namespace Evenwater.Nights;

/// <summary>
/// Which leaks of a closed valve can be told: the valve is closed for 15 to 42 minutes, and a leak shows by nothing but how far it moves the vessel's conductivity meanwhile.
/// EVENWATER_LEAKS=200 takes so many nights.
/// </summary>
public sealed class LeakNights(ITestOutputHelper output)
{
    private const int Usual = 16;
    private const int First = 116_001;
    private static readonly double[] Percents = [0, 0.5, 1, 2, double.PositiveInfinity];

    [Fact]
    public void A_leak_that_moves_the_conductivity_by_two_per_cent_is_told()
    {
        var count = int.TryParse(Environment.GetEnvironmentVariable("EVENWATER_LEAKS"), CultureInfo.InvariantCulture, out var asked) ? asked : Usual;
        var kind = PlantKinds.Named("leaking-valve");
        var leaks = Enumerable.Range(First, count).AsParallel().AsOrdered().Select(seed =>
        {
            var night = kind.Make(seed);
            return (Moved: MovedPercent(night), Told: JudgedNights.One(night).Recognitions.Single(r => r.Happened.Kind == "leak").DelaySeconds is not null);
        }).ToArray();
        for (var i = 1; i < Percents.Length; i++)
        {
            var some = leaks.Where(l => l.Moved >= Percents[i - 1] && l.Moved < Percents[i]).ToArray();
            output.WriteLine($"moved by {Percents[i - 1]} to {Percents[i]} %: told {some.Count(l => l.Told)} of {some.Length}");
        }

        var clear = leaks.Where(l => l.Moved >= 2).ToArray();
        Assert.InRange(clear.Length, count / 8, count / 2);
        Assert.All(clear, l => Assert.True(l.Told, $"a leak that moved the conductivity by {l.Moved:0.0} % was not told"));
    }

    /// <summary>How far the vessel's conductivity really moved, at most, while the valve was closed and leaked.</summary>
    private static double MovedPercent(Night night)
    {
        var truth = night.Truth!;
        var leak = truth.Events.Single(e => e.Kind == "leak").AtSeconds;
        var commands = night.Prior.ValveCommands;
        var most = 0.0;
        for (var i = 0; i < commands.Count; i++)
        {
            var (from, to) = (Math.Max(commands[i].AtSeconds, leak), i + 1 < commands.Count ? commands[i + 1].AtSeconds : truth.EndSeconds);
            if (!commands[i].Open && to > from)
            {
                var (before, after) = (At(truth, from).Vessel, At(truth, to).Vessel);
                most = Math.Max(most, 100 * Math.Abs(after - before) / before);
            }
        }

        return most;
    }

    private static TrueRow At(NightTruth truth, double seconds) => truth.Rows.MinBy(r => Math.Abs(r.Seconds - seconds));
}
