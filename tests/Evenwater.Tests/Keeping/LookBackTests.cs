using Evenwater.Core;
using Evenwater.Core.Keeping;
using Evenwater.Core.Review;
using Evenwater.Core.Standing;
using Evenwater.Core.Stations;
using Evenwater.Keeping;
using Evenwater.Log;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Keeping;

/// <summary>A tank of which something was dosed, in a real log, looked back at.</summary>
public sealed class LookBackTests : IDisposable
{
    private const int Days = 16;
    private static readonly DateTimeOffset Begin = new(2026, 6, 1, 0, 0, 0, TimeSpan.Zero);
    private static readonly DateTimeOffset Now = Begin.AddDays(Days);
    private static readonly DateTimeOffset Dosed = Begin.AddDays(12).AddHours(9);

    private static readonly Station Station = LogFolder.Station("tank") with
    {
        Sensors = LogFolder.Station().Sensors with { Source = SensorSource.Board, GpioChipLabel = "chip" },
    };

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private async Task WriteAsync(DateTimeOffset? warmed = null, params Note[] notes)
    {
        using var log = _folder.Open();
        var (boot, configuration) = (log.StartBoot("test", simulated: false), log.Configure(Station));
        Entry Make(EntryKind kind, DateTimeOffset wall) => new()
        {
            BootId = boot, ConfigurationId = configuration, Station = Station.Name, At = MonotonicTime.FromSeconds((wall - Begin).TotalSeconds), Wall = wall, ClockQuality = ClockQuality.Synced, Kind = kind,
        };
        for (var (wall, i) = (Begin, 0); wall < Now; (wall, i) = (wall.AddMinutes(5), i + 1))
        {
            var (samples, at) = (RawSamples.None(), MonotonicTime.FromSeconds((wall - Begin).TotalSeconds));
            samples[Channel.TankConductivity] = RawSample.Of((wall < Dosed ? 5920 : 6216) + (i * 7 % 5), at);
            samples[Channel.TankTemperature] = RawSample.Of((25 * 16) + (i % 3 == 0 ? 1 : 0) + (wall < warmed ? 0 : warmed is null ? 0 : 4), at);
            if (log.Append(Make(EntryKind.Cycle, wall) with { Samples = samples, Body = "{\"valveOpen\":false}" }) % 2000 == 0) await log.CommitAsync(); // the queue is bounded
        }

        log.Append(Make(EntryKind.Note, Now) with { Body = LogJson.Write(new NoteBody(new Note { Id = "n1", Kind = NoteKind.Dose, At = Dosed, WrittenAt = Now, By = "Ann", Amount = 5, Unit = "mL" })) });
        foreach (var note in notes) log.Append(Make(EntryKind.Note, Now) with { Body = LogJson.Write(new NoteBody(note)) });
        await log.CommitAsync();
    }

    [Fact] // 5,920 counts are 185 µS/cm at 25 °C, and 5 % more are 194 (as in TankTests, by hand)
    public async Task A_dose_of_the_book_is_found_in_the_log_with_before_and_after()
    {
        await WriteAsync();
        Assert.ThrowsAny<OperationCanceledException>(() => LookBack.Read(_folder.Path, Station.Name, (Now.AddDays(-14), Now), TimeZoneInfo.Utc, new CancellationToken(canceled: true)));
        var back = LookBack.Read(_folder.Path, Station.Name, (Now.AddDays(-14), Now), TimeZoneInfo.Utc, TestContext.Current.CancellationToken);
        var episode = Assert.Single(back.Episodes);
        Assert.Equal(Dosed, back.Courses[Channel.TankConductivity].At(episode.At));
        Assert.Equal(Cause.Dose, Causes.Of(episode, back.Courses, back.Happened)[0].Cause);
        Assert.Equal(24, back.Courses[Channel.TankConductivity].HoursSeen(Begin.AddDays(2), Begin.AddDays(3)));
        Assert.Equal(1, back.Courses[Channel.TankConductivity].HoursSeen(Begin.AddDays(-5), Begin.AddHours(1)));
        var known = BeforeAfter.Of(back.Courses[Channel.TankConductivity], episode.Swings[0])!.Value;
        Assert.Equal(185, known.Before, 0.5);
        Assert.Equal(194.25, known.After, 0.5);
        var text = string.Join('\n', LookBackText.Of(back, null, TimeZoneInfo.Utc));
        Assert.Contains("1. something was added", text, StringComparison.Ordinal);
        Assert.Contains("book: n1", text, StringComparison.Ordinal);
        Assert.Matches(@"conductivity  18\d\.\d to 19\d\.\d ± 0\.\d µS/cm, .*; \d+(\.\d)? times its own restlessness over", text);
        Assert.Equal(1 + episode.Swings.Count, LookBackText.Rows(back, Channel.TankConductivity).Count());
        Assert.Empty(LookBackText.Of(back, Channel.TankTemperature, TimeZoneInfo.Utc));
    }

    [Fact]
    public async Task A_channel_that_moved_later_than_its_episode_began_is_told_with_its_own_time()
    {
        await WriteAsync(warmed: Dosed.AddMinutes(75)); // at once, by 4/16 °C
        var back = LookBack.Read(_folder.Path, Station.Name, (Now.AddDays(-14), Now), TimeZoneInfo.Utc, TestContext.Current.CancellationToken);
        var episode = Assert.Single(back.Episodes);
        Assert.Equal(Dosed, back.Courses[Channel.TankConductivity].At(episode.At));
        var text = LookBackText.Of(back, null, TimeZoneInfo.Utc).ToList();
        Assert.EndsWith(" h", Assert.Single(text, line => line.StartsWith("  conductivity ", StringComparison.Ordinal)), StringComparison.Ordinal);
        Assert.EndsWith(" h; from 2026-06-13 10:15 on", Assert.Single(text, line => line.StartsWith("  temperature ", StringComparison.Ordinal)), StringComparison.Ordinal);
    }

    [Fact] // by hand: 0.1 °C a day is 0.004 °C an hour
    public void What_cools_slowly_is_not_told_as_not_at_all()
    {
        var quarter = TimeSpan.FromMinutes(15);
        var course = Course.Of(Channel.TankTemperature, Enumerable.Range(0, Days * 96).Select(i => new Stretch(Begin + (i * quarter), quarter, 25 - (0.1 / 96 * Math.Max(0, i - (8 * 96))))), Begin, Now, TimeZoneInfo.Utc);
        Dictionary<Channel, Course> courses = new() { [Channel.TankTemperature] = course };
        var happened = new Happened { TankLitres = 240 };
        var back = new LookBack("tank", courses, Episode.Of(courses, happened), happened);
        Assert.Matches(@"-0\.00[34] an hour", Assert.Single(LookBackText.Of(back, null, TimeZoneInfo.Utc), line => line.StartsWith("  temperature ", StringComparison.Ordinal)));
    }

    [Fact] // 4/16 °C more is what a thermometer reads of which 0.25 °C less is taken off
    public async Task A_thermometer_s_calibration_is_what_made_its_readings_step()
    {
        var at = Dosed.AddDays(1);
        await WriteAsync(at, new Note
        {
            Id = "n2", Kind = NoteKind.Calibration, At = at, WrittenAt = Now, By = "Ann",
            Calibration = new("tank-thermometer", at, "Ann", "", [new("sensors.tankThermometerOffsetCelsius", "°C", 0.25, 0, 0.02)], at.AddDays(365)),
        });
        var back = LookBack.Read(_folder.Path, Station.Name, (Now.AddDays(-14), Now), TimeZoneInfo.Utc, TestContext.Current.CancellationToken);
        var episode = back.Episodes[^1];
        Assert.Contains(episode.Swings, swing => swing.Channel == Channel.TankTemperature);
        Assert.Equal(Cause.CalibrationStep, Causes.Of(episode, back.Courses, back.Happened)[0].Cause);
    }

    [Fact] // by hand, of 185 µS/cm: (185 - 5) x 0.98 / 1 + 14 = 190.4, 2.88 % more in logarithms, where the cell constant alone would be 2 % less
    public async Task A_calibration_by_two_standards_steps_by_constant_and_offset_together()
    {
        var at = Dosed.AddDays(-2);
        await WriteAsync(null, new Note
        {
            Id = "n2", Kind = NoteKind.Calibration, At = at, WrittenAt = Now, By = "Ann",
            Calibration = new("tank-conductivity", at, "Ann", "", [new("sensors.tankConductivity.cellConstantPerCm", "1/cm", 1, 0.98, 0.01), new("sensors.tankConductivity.offsetMicrosiemensPerCm", "µS/cm", 5, 14, 1)], at.AddDays(90)),
        });
        var back = LookBack.Read(_folder.Path, Station.Name, (Now.AddDays(-14), Now), TimeZoneInfo.Utc, TestContext.Current.CancellationToken);
        Assert.Equal(2.88, Assert.Single(back.Happened.Calibrations).Step, 0.05);
    }
}
