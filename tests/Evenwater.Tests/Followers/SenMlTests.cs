using System.Text.Json;
using System.Text.RegularExpressions;
using CsCheck;
using Evenwater.Core;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Followers;

/// <summary>RFC 8428, sections 4 (records, names, values, times) and 12.1 (units).</summary>
public sealed partial class SenMlTests
{
    private static readonly string[] Units = ["S/m", "Cel", "kg", "m", "count"];

    [Fact]
    public void One_cycle_worked_by_hand()
    {
        // Linear compensation at 25 °C changes nothing: 16384 of 32768 counts of 2.048 V = 1.024 V; over 1 V x 2000 ohm, 512 uS x 1/cm = 512 uS/cm = 0.0512 S/m.
        var station = LogFolder.Station();
        station = station with
        {
            Sensors = station.Sensors with
            {
                VesselConductivity = station.Sensors.VesselConductivity with { Compensation = Core.Stations.Compensation.Linear },
                Level = new() { AdcInput = 2, ZeroVolts = 0.4, MillimetresPerVolt = 312.5 },
            },
        };
        var at = new MonotonicTime(10_000_000_000);
        var raw = RawSamples.None();
        raw[Channel.VesselConductivity] = RawSample.Of(16384, at.Plus(-0.25));
        raw[Channel.VesselTemperature] = RawSample.Of(400, at);
        raw[Channel.TankTemperature] = RawSample.Missing(Reason.NoAnswer, at.Plus(-1.5));
        raw[Channel.FloatHigh] = RawSample.Of(1, at);
        raw[Channel.Level] = RawSample.Of(12_800, at); // 0.8 V, 0.4 V above the zero: 125 mm
        var pack = Pack(raw, at, DateTimeOffset.FromUnixTimeMilliseconds(1_795_489_920_500), station);
        Assert.Equal(
            """
            [{"bn":"evenwater/v1/sim-river/","bt":1795489920.5,"n":"sequence","u":"count","v":412},{"n":"simulated","vb":true},{"n":"vessel_conductivity_25c","u":"S/m","v":0.0512,"t":-0.25},{"n":"vessel_temperature","u":"Cel","v":25},{"n":"tank_temperature/missing","vs":"no-answer","t":-1.5},{"n":"float_high","vb":true},{"n":"vessel_level","u":"m","v":0.125}]
            """,
            pack);
    }

    [Fact]
    public void Every_cycle_keeps_to_the_rules_of_RFC_8428()
    {
        var sample = Gen.Select(Gen.Int[-70_000, 70_000], Gen.Enum<Reason>(), Gen.Long[0, 5_000_000_000]);
        Gen.Select(sample.Array[Channels.Count], Gen.Bool).Sample((samples, hasWall) =>
        {
            var at = new MonotonicTime(10_000_000_000);
            var raw = RawSamples.None();
            for (var i = 0; i < samples.Length; i++)
            {
                var (code, reason, age) = samples[i];
                var takenAt = new MonotonicTime(at.Nanoseconds - age);
                raw[i] = reason == Reason.None ? RawSample.Of(code, takenAt) : RawSample.Missing(reason, takenAt);
            }

            Check(Pack(raw, at, hasWall ? LogFolder.Evening : null, LogFolder.Station()), hasWall);
        });
    }

    private static string Pack(in RawSamples raw, MonotonicTime at, DateTimeOffset? wall, Core.Stations.Station station) => System.Text.Encoding.UTF8.GetString(SenMl.Of(
        new Entry
        {
            Id = 412,
            BootId = 1,
            ConfigurationId = 1,
            Station = "sim-river",
            At = at,
            Wall = wall,
            ClockQuality = ClockQuality.Simulated,
            Kind = EntryKind.Cycle,
            Samples = raw,
        },
        station,
        "evenwater/v1/sim-river/"));

    private static void Check(string pack, bool hasWall)
    {
        using var json = JsonDocument.Parse(pack);
        var baseName = "";
        var baseTime = 0.0;
        var seen = new HashSet<(string, double)>();
        foreach (var record in json.RootElement.EnumerateArray())
        {
            var keys = record.EnumerateObject().Select(p => p.Name).ToList();
            Assert.Equal(keys.Distinct().Count(), keys.Count);
            Assert.All(keys, k => Assert.Contains(k, new[] { "bn", "bt", "n", "u", "v", "vs", "vb", "t" }));
            Assert.Single(keys, k => k is "v" or "vs" or "vb");
            baseName = record.TryGetProperty("bn", out var bn) ? bn.GetString()! : baseName;
            baseTime = record.TryGetProperty("bt", out var bt) ? bt.GetDouble() : baseTime;
            var name = baseName + record.GetProperty("n").GetString();
            Assert.Matches(Names(), name);
            var time = baseTime + (record.TryGetProperty("t", out var t) ? t.GetDouble() : 0);
            Assert.Equal(hasWall, time >= 1 << 28); // below 2^28: relative to now
            Assert.True(seen.Add((name, time)), $"{name} twice at one time");
            if (record.TryGetProperty("v", out var v))
            {
                Assert.True(double.IsFinite(v.GetDouble()));
                Assert.Contains(record.GetProperty("u").GetString(), Units);
            }
            else
            {
                Assert.DoesNotContain("u", keys);
            }
        }
    }

    [GeneratedRegex(@"^[A-Za-z0-9][A-Za-z0-9\-:./_]*$")]
    private static partial Regex Names();
}
