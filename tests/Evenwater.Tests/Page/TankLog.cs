using Evenwater.Core;
using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;
using Evenwater.Log;
using Evenwater.Page;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Page;

/// <summary>
/// A log of thirty days of a tank, for pages that look back: an outlet was moved on day 16, and it is 0.75 °C colder since; something was dosed on day 26, and
/// conductivity is 5 % higher since. The book knows of both, and of food twice.
/// </summary>
internal static class TankLog
{
    public const string Station = "tank";
    private const int Days = 30;
    private static readonly DateTimeOffset s_begin = new(2026, 6, 1, 0, 0, 0, TimeSpan.Zero);

    public static DateTimeOffset Moved { get; } = s_begin.AddDays(16).AddHours(9);

    public static DateTimeOffset Dosed { get; } = s_begin.AddDays(26).AddHours(9);

    public static DateTimeOffset End { get; } = s_begin.AddDays(Days);

    /// <summary>What the page shows of the station now.</summary>
    public static StationView View { get; } = MadeUp.Night(0.1, Station) with { Now = End };

    public static async Task WriteAsync(LogFolder folder)
    {
        using var log = folder.Open();
        var boot = log.StartBoot("test", simulated: false);
        var configuration = log.Configure(LogFolder.Station(Station) with { Sensors = LogFolder.Station().Sensors with { Source = SensorSource.Board, GpioChipLabel = "chip", Light = new() } });
        Entry Make(EntryKind kind, DateTimeOffset wall) => new()
        {
            BootId = boot, ConfigurationId = configuration, Station = Station, At = MonotonicTime.FromSeconds((wall - s_begin).TotalSeconds), Wall = wall, ClockQuality = ClockQuality.Synced, Kind = kind,
        };
        for (var (wall, i) = (s_begin, 0); wall < End; (wall, i) = (wall.AddMinutes(7.5), i + 1))
        {
            var (samples, at, warmth) = (RawSamples.None(), MonotonicTime.FromSeconds((wall - s_begin).TotalSeconds), 4 * Math.Sin(2 * Math.PI * i / 192));
            var counts = (25 * 16) + (int)Math.Round(warmth) + (i * i % 7 < 3 ? 1 : 0) - (wall < Moved ? 0 : 12);
            // A cell's counts follow its water's warmth by some 2 % a degree (ISO 7888, factor table), which the program takes off again.
            samples[Channel.TankConductivity] = RawSample.Of((int)Math.Round((wall < Dosed ? 5920 : 6216) * (1 + (0.0191 * ((counts / 16.0) - 25)))) + (i * 7 % 5), at);
            samples[Channel.TankTemperature] = RawSample.Of(counts, at);
            samples[Channel.TankLight] = RawSample.Of(wall.Hour is >= 8 and < 18 ? 12_000 : 0, at); // 10,000 lx, as in TankTests
            log.Append(Make(EntryKind.Cycle, wall) with { Samples = samples, Body = "{\"valveOpen\":false}" });
            if (i % 64 == 63) await log.CommitAsync(); // a daemon commits every few seconds; a batch is never days long
        }

        Note[] notes =
        [
            new() { Kind = NoteKind.Move, At = Moved, Text = "outlet to the left" },
            new() { Kind = NoteKind.Feed, At = Moved.AddDays(-1), Amount = 1, Unit = "portions" },
            new() { Kind = NoteKind.Feed, At = Moved.AddDays(3), Amount = 1, Unit = "portions" },
            new() { Kind = NoteKind.Dose, At = Dosed, Amount = 5, Unit = "mL" },
        ];
        foreach (var (note, i) in notes.Select((note, i) => (note, i + 1))) log.Append(Make(EntryKind.Note, End) with { Body = LogJson.Write(new NoteBody(note with { Id = $"n{i}", WrittenAt = End, By = "Ann" })) });
        await log.CommitAsync();
    }
}
