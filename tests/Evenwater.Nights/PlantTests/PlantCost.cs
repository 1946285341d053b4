using Evenwater.Nights.Plant;

namespace Evenwater.Nights.PlantTests;

[Collection(nameof(Alone))]
public sealed class PlantCost(ITestOutputHelper output)
{
    [Fact]
    public void A_night_of_twelve_hours_at_5_s_is_made_in_a_few_hundredths_of_a_second()
    {
        var kind = PlantKinds.Named("slow-clog");
        var seed = Enumerable.Range(1, 100).First(s => kind.Plan(s, Evenwater.Nights.Plant.Care.Usual).Plan.PeriodSeconds is 5 && kind.Make(s).Rows.Count > 8600);
        var best = Enumerable.Range(0, 15).Min(_ =>
        {
            // Processor time of the best try: other programs share the machine. 12 ms on a quiet one.
            var before = Environment.CpuUsage.TotalTime;
            kind.Make(seed);
            return (Environment.CpuUsage.TotalTime - before).TotalMilliseconds;
        });
        output.WriteLine($"{best:0.0} ms of processor");
        Assert.InRange(best, 0, 40);
    }
}
