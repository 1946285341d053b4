using Evenwater.Core.Estimation;
using Evenwater.Nights.Plant;

namespace Evenwater.Nights;

/// <summary>
/// A night of our own in which nothing happens but that the two probes disagree by nearly two standard deviations. Whoever expects less narrowly than the
/// others loses weight even when right: a surge nobody had made once won this night within half an hour, for its shorter lag alone.
/// </summary>
public sealed class NoSurge(ITestOutputHelper output)
{
    [Fact]
    public void Probes_that_disagree_are_not_taken_for_a_surge()
    {
        var kind = PlantKinds.Named("nominal");
        var plan = kind.Plan(61002, Care.Usual).Plan;
        Assert.InRange(Math.Log(plan.VesselProbe.Gain / plan.TankProbe!.Gain) / plan.Prior.GainRatioRelativeSd, 1.5, 2.5);
        var night = kind.Make(61002);
        var flows = night.Truth!.Rows.ToLookup(r => (int)r.Seconds, r => r.MillilitresPerMinute);
        var estimator = new Estimator(night.Prior, seed: 1);
        var (seen, farthest) = (0, 0.0);
        foreach (var row in night.Rows.TakeWhile(r => r.Seconds <= 10_800))
        {
            estimator.Step(row.Readings, row.ValveOpen, row.At);
            if (row.Seconds >= 1200 && row.Seconds % 1200 == 0)
            {
                var off = Math.Log(estimator.Latest.FlowMillilitresPerMinute.P50 / flows[(int)row.Seconds].Single());
                output.WriteLine($"{row.Seconds / 60:0} min: {off:0.000} in ln flow");
                (seen, farthest) = (seen + 1, Math.Max(farthest, Math.Abs(off)));
            }
        }

        Assert.Equal(9, seen);
        Assert.InRange(farthest, 0, 0.12); // no worse than timed with a cup, which is good to 0.1
    }
}
