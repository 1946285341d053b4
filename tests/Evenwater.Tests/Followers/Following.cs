using Evenwater.Core.Calibration;
using Evenwater.Core;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Tests.Servers;
using Microsoft.Extensions.Logging.Abstractions;

namespace Evenwater.Tests.Followers;

/// <summary>A follower that runs, what it has told, and what the server must have of the log.</summary>
internal sealed class Following : IAsyncDisposable
{
    private readonly CancellationTokenSource _stop = new();
    private readonly Task _running;
    private readonly List<(string Station, string Text)> _told = [];

    /// <param name="log">What it follows.</param>
    /// <param name="options">To where, and how.</param>
    /// <param name="note">What is done with its events; null: they are only kept.</param>
    public Following(NightLog log, InfluxOptions options, Action<string>? note = null)
    {
        Follower = new InfluxFollower(log, options, NullLogger.Instance, new RefusalsTold(
            (station, text) =>
            {
                lock (_told)
                {
                    _told.Add((station, text));
                }

                note?.Invoke(text);
            },
            station => AlarmAt = station)
        {
            Gap = (_, text) => Gaps.Add(text),
        });
        _running = Follower.RunAsync(_stop.Token);
    }

    public InfluxFollower Follower { get; }

    /// <summary>What it told of readings that will never be sent.</summary>
    public System.Collections.Concurrent.ConcurrentBag<string> Gaps { get; } = [];

    /// <summary>Where the alarm stands now.</summary>
    public string? AlarmAt { get; private set; }

    /// <summary>Its events so far.</summary>
    public List<(string Station, string Text)> Told
    {
        get
        {
            lock (_told)
            {
                return [.. _told];
            }
        }
    }

    /// <summary>Quick to try again, so that no test waits long.</summary>
    public static InfluxOptions Quick(InfluxOptions options) => options with { RetrySeconds = 0.05, LongestRetrySeconds = 0.2, BatchEntries = 200, AnswerSeconds = 2 };

    public static async Task Until(Func<bool> condition, double seconds = 30)
    {
        for (var i = 0; i < seconds * 100 && !condition(); i++)
        {
            await Task.Delay(10);
        }

        Assert.True(condition(), $"not reached within {seconds} s");
    }

    public Task DoneAsync(double seconds = 30) => Until(() => Follower.Behind == 0, seconds);

    /// <summary>Every cycle of the log once, with its own time and values, and nothing else. The conversions are written out here once more.</summary>
    public static void Same(NightLog log, List<StoredCycle> stored)
    {
        var at = 0;
        for (var after = 0L; log.Reader.Read(after, 1000) is { Count: > 0 } page; after = page[^1].Id)
        {
            foreach (var entry in page.Where(e => e.Kind == EntryKind.Cycle))
            {
                Assert.True(at < stored.Count, $"entry {entry.Id} and what follows are lost: {stored.Count} are there");
                var (time, fields) = stored[at++];
                Assert.True(entry.Id == (long)fields["entry"], $"in place of entry {entry.Id} stands {fields["entry"]}: one is lost or doubled");
                Assert.Equal(entry.Wall!.Value.ToUnixTimeMilliseconds(), time);
                var readings = Calibrate.Apply(entry.Samples!.Value, log.Reader.Configuration(entry.ConfigurationId).Sensors);
                var expected = new Dictionary<string, double> { ["entry"] = entry.Id, ["float_high"] = 0 };
                Expect(expected, "vessel_conductivity_25c_s_per_m", readings[Channel.VesselConductivity], 1e4);
                Expect(expected, "tank_conductivity_25c_s_per_m", readings[Channel.TankConductivity], 1e4);
                Expect(expected, "vessel_temperature_celsius", readings[Channel.VesselTemperature], 1);
                Expect(expected, "tank_temperature_celsius", readings[Channel.TankTemperature], 1);
                foreach (var (name, value) in expected)
                {
                    Assert.True(fields.TryGetValue(name, out var there) && Math.Abs(value - there) <= 1e-12 * Math.Abs(value), $"entry {entry.Id}, {name}: {value} here, {(fields.ContainsKey(name) ? there : null)} there");
                }

                Assert.DoesNotContain(fields.Keys, name => name.EndsWith("celsius", StringComparison.Ordinal) && !expected.ContainsKey(name));
            }
        }

        Assert.Equal(at, stored.Count);
    }

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await _running;
        _stop.Dispose();
    }

    private static void Expect(Dictionary<string, double> expected, string name, in Reading reading, double divisor)
    {
        if (reading.TryGet(out var value))
        {
            expected.Add(name, value / divisor);
        }
    }
}
