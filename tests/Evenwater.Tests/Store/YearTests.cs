using System.Diagnostics;
using System.Globalization;
using Evenwater.Log;

namespace Evenwater.Tests.Store;

/// <summary>Times mean something only when nothing else runs beside: these come last.</summary>
[CollectionDefinition(nameof(YearTests), DisableParallelization = true)]
public static class Unaccompanied;

/// <summary>What a long record takes on the disk, and how soon any stretch of it is drawn. tests/store asks for a year.</summary>
[Collection(nameof(YearTests))]
public sealed class YearTests(ITestOutputHelper output)
{
    private const double MostBytesPerReading = 3.0;
    private const double MostZoomMilliseconds = 150;
    private const int Points = 1500;

    private static long Seconds =>
        long.TryParse(Environment.GetEnvironmentVariable("EVENWATER_SECONDS"), CultureInfo.InvariantCulture, out var asked) ? asked : 2_000_000 / LifelikeYear.ChannelsFitted;

    [Fact]
    public async Task A_record_stays_small_and_any_stretch_of_it_is_soon_drawn()
    {
        var seconds = Seconds;
        var compare = Environment.GetEnvironmentVariable("EVENWATER_COMPARE") == "1";
        var folder = Directory.CreateTempSubdirectory("evenwater-year-");
        try
        {
            var started = Stopwatch.StartNew();
            using (var log = NightLog.Open(folder.FullName, pace: new LogPace { Batch = TimeSpan.FromHours(1), BudgetBytes = long.MaxValue, MaxCycles = 10_000 }))
            {
                new LifelikeYear(1).Write(log, seconds, 300);
            }

            var readings = (double)seconds * LifelikeYear.ChannelsFitted;
            var bytes = folder.EnumerateFiles().Sum(f => f.Length) / readings;
            output.WriteLine($"{readings:0} readings written in {started.Elapsed.TotalSeconds:0} s");
            output.WriteLine($"the log: {bytes:0.00} bytes a reading on the disk, summaries and all; at most {MostBytesPerReading:0.0}");
            var (cold, dropped) = await Zooms.OursAsync(folder.FullName, seconds, Points);
            output.WriteLine($"any {Points} points of six channels, {(dropped ? "the system's cache emptied before each" : "WARM: the system's cache could not be emptied")}: p50 {cold.Quantile(0.5):0} ms, p95 {cold.Quantile(0.95):0} ms, longest {cold.Max:0} ms; p95 at most {MostZoomMilliseconds:0}");
            if (compare)
            {
                await PlainRows.CompareAsync(output, seconds, Points, bytes, cold);
                await VictoriaStore.CompareAsync(output, seconds, Points, bytes, cold);
            }

            Assert.InRange(bytes, 0.1, MostBytesPerReading);
            Assert.InRange(cold.Quantile(0.95), 0, MostZoomMilliseconds);
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }
}
