using System.Diagnostics;
using Evenwater.Log;
using Evenwater.Tests.Latency;

namespace Evenwater.Tests.Store;

/// <summary>Stretches of a record, from half an hour to all of it, each asked for with nothing in memory.</summary>
internal static class Zooms
{
    /// <summary>The same for everyone who is compared.</summary>
    public static IEnumerable<(DateTimeOffset From, DateTimeOffset To)> All(long seconds)
    {
        var random = new Random(3);
        for (var i = 0; i < 40; i++)
        {
            // Evenly on a logarithmic scale; the whole of it among them.
            var length = i == 0 ? seconds : 1800 * Math.Pow(seconds / 1800.0, random.NextDouble());
            var from = random.NextDouble() * (seconds - length);
            yield return (LifelikeYear.Begin.AddSeconds(from), LifelikeYear.Begin.AddSeconds(from + length));
        }
    }

    public static async Task<(Latencies Times, bool Dropped)> OursAsync(string folder, long seconds, int points)
    {
        var times = new Latencies();
        var dropped = true;

        // The first call pays for the compiler, not for the disk.
        using (var warm = new History(folder))
        {
            warm.Read(LifelikeYear.Station.Name, LifelikeYear.Given, LifelikeYear.Begin, LifelikeYear.Begin.AddSeconds(seconds), points);
            warm.Read(LifelikeYear.Station.Name, LifelikeYear.Given, LifelikeYear.Begin, LifelikeYear.Begin.AddSeconds(7000), points);
        }

        foreach (var (from, to) in All(seconds))
        {
            dropped &= await ForgetAsync();
            var started = Stopwatch.StartNew();
            using var history = new History(folder);
            var past = history.Read(LifelikeYear.Station.Name, LifelikeYear.Given, from, to, points);
            times.Add(started.Elapsed.TotalMilliseconds);

            // From no less than the half of what was asked for, since a summary's bucket may be up to twice as long; the end of the record has not been summed up yet.
            Assert.All(past.Series, s => Assert.InRange(s.Value.Count, points / 3, points + 1));
        }

        return (times, dropped);
    }

    /// <summary>Empties the system's cache of files (proc(5), drop_caches); only root may.</summary>
    public static async Task<bool> ForgetAsync()
    {
        try
        {
            await File.WriteAllTextAsync("/proc/sys/vm/drop_caches", "3");
            return true;
        }
        catch (Exception e) when (e is UnauthorizedAccessException or IOException)
        {
            return false;
        }
    }
}
