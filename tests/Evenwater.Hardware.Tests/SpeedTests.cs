using System.Diagnostics;

namespace Evenwater.HardwareTests;

[CollectionDefinition(nameof(SpeedTests), DisableParallelization = true)]
public class Alone;

/// <summary>
/// With no other test beside it. Processor time shows a rig that computes or allocates too much, whatever else the machine does;
/// wall time, with room for a busy machine, shows a binding that sleeps: 1 ms in each reading would be 86 s.
/// </summary>
[Collection(nameof(SpeedTests))]
public class SpeedTests(ITestOutputHelper output)
{
    [Theory]
    [InlineData]
    [InlineData("no-answer@0s")] // each missing answer costs an exception in the bus
    public void A_night_of_twelve_hours_at_one_second_takes_under_four_seconds_of_processor(params string[] faults)
    {
        using var night = new RigNight(TestStation.Pail, 2, faults);
        var watch = Stopwatch.StartNew();
        var before = Environment.CpuUsage.TotalTime;
        night.RunTo(12 * 3600);
        var spent = (Environment.CpuUsage.TotalTime - before).TotalSeconds;
        output.WriteLine($"12 h at 1 s {string.Join(' ', faults)}: {spent:F2} s of processor, {watch.Elapsed.TotalSeconds:F2} s by the clock");
        Assert.InRange(spent, 0, 4); // about 0.5 s
        Assert.InRange(watch.Elapsed.TotalSeconds, 0, 40);
    }
}
