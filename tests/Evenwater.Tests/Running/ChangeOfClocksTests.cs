using System.Globalization;
using System.Text.RegularExpressions;
using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Hardware.Rig;
using Evenwater.Page;
using Evenwater.Running;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Running;

/// <summary>In the night in which clocks are put back or forward, a time to come is the one that the keeper's clock will show then.</summary>
public sealed partial class ChangeOfClocksTests : IDisposable
{
    private static readonly TimeZoneInfo s_zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Berlin");

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("2026-10-25T00:10:00+02:00", 1)] // at 03:00 it is 02:00 again
    [InlineData("2026-03-29T00:10:00+01:00", 2)] // at 02:00 it is 03:00 already
    [InlineData("2026-03-14T00:10:00+01:00", 1)]
    public void The_sentence_of_a_night_tells_what_the_clock_will_show(string begun, double offsetHours)
    {
        using var log = _folder.Open();
        var station = DemoStation.Read();
        var start = DateTimeOffset.Parse(begun, CultureInfo.InvariantCulture);
        var zero = MonotonicTime.FromSeconds(1);
        var clock = StationClock.Real(zero, new SetTime(start, s_zone));
        using var drive = new RigDrive(new SimulatedRig(station, 1, []), new StationState(station), log, zero, start, real: clock);
        drive.Begin();

        // A time that the sentence does not name yet is not named by the picture either.
        Assert.True(drive.Go(1800, () => drive.CommitAnd(drive.Loop.State is { HasForecast: true, MatchCannotTell: true, Forecast.MatchSeconds.CannotTell: false })));
        Assert.Contains("even can't tell when;", PictureWords.Describe(new ViewMaker(clock).Make(drive.Loop, drive.Now)), StringComparison.Ordinal);
        Assert.DoesNotContain("even about", ForecastPicture.Draw(new ViewMaker(clock).Make(drive.Loop, drive.Now), PictureSize.Wide), StringComparison.Ordinal);

        Assert.True(drive.Go(1800, () => drive.CommitAnd(drive.Loop.State.HasForecast && Told().IsMatch(drive.Loop.Say.Text))));
        var told = TimeOnly.Parse(Told().Match(drive.Loop.Say.Text).Groups[1].Value, CultureInfo.InvariantCulture);
        var even = start.AddSeconds(drive.Loop.SaidAt.SecondsSince(zero) + drive.Loop.State.Forecast.MatchSeconds.P50).ToOffset(TimeSpan.FromHours(offsetHours));
        Assert.True(even - start > TimeSpan.FromHours(4), $"{even}"); // beyond the change
        Assert.InRange(Math.Min((told - TimeOnly.FromDateTime(even.DateTime)).TotalMinutes, (TimeOnly.FromDateTime(even.DateTime) - told).TotalMinutes), 0, 3);

        // So does the page's picture, in words and in its marks.
        var view = new ViewMaker(clock).Make(drive.Loop, drive.Now);
        var drawn = Drawn().Match(PictureWords.Describe(view));
        Assert.Equal(Told().Match(drive.Loop.Say.Text).Groups[1].Value, drawn.Groups[1].Value);
        Assert.Contains($"even about {drawn.Groups[1].Value}", ForecastPicture.Draw(view, PictureSize.Wide), StringComparison.Ordinal);
        Assert.Equal(TimeSpan.FromHours(offsetHours), view.ClockAt(view.NowSeconds + (4 * 3600)).Offset);
    }

    /// <summary>A computer without a battery for its clock, and without network: it begins at the epoch (tzset(3), "The Epoch").</summary>
    [Fact]
    public void While_the_computer_s_clock_was_never_set_the_page_is_drawn_and_says_so()
    {
        using var log = _folder.Open();
        var station = DemoStation.Read();
        var start = DateTimeOffset.UnixEpoch.AddMinutes(2);
        var zero = MonotonicTime.FromSeconds(1);
        var clock = StationClock.Real(zero, new SetTime(start, s_zone));
        using var drive = new RigDrive(new SimulatedRig(station, 1, []), new StationState(station), log, zero, start, real: clock);
        drive.Begin();
        var maker = new ViewMaker(clock);
        Assert.True(drive.Go(1800, () => drive.CommitAnd(maker.Make(drive.Loop, drive.Now).History.Count > 10 && drive.Loop.State.HasForecast)));
        var view = maker.Make(drive.Loop, drive.Now);
        Assert.Contains("<svg", ForecastPicture.Draw(view, PictureSize.Wide), StringComparison.Ordinal);
        Assert.Equal(TimeSpan.FromSeconds(view.NowSeconds - view.History[0].Seconds), view.Now - view.ClockAt(view.History[0].Seconds));
        Assert.True(view.Now.AddDays(-365).Year > 1900, "no span that ends now can be asked for");
        Assert.False(view.ClockKnown);

        // By when is told without a clock too, in words; the leak is to be seen to within five minutes.
        drive.Rig.HoldWet(Channel.Leak, wet: true);
        Assert.True(drive.Go(60, () => drive.Loop.State.Phase == Core.Safety.Phase.Tripped));
        drive.Go(1);
        view = maker.Make(drive.Loop, drive.Now);
        Assert.Equal((null, "within 5 min"), (view.ByWhen, view.HowSoon));
        Assert.Equal((null, "now"), (view.Alarms[0].ByWhen, view.Alarms[0].HowSoon));
        Assert.Contains("How soon: now.", AlarmsText.Of("sim-river", drive.Loop.Shown.Alarms, drive.Loop.WallNow), StringComparison.Ordinal);
    }

    [GeneratedRegex("While the valve stays open: even at about ([0-9]{2}:[0-9]{2})")]
    private static partial Regex Drawn();

    [GeneratedRegex("^Even with the tank at about ([0-9]{2}:[0-9]{2})")]
    private static partial Regex Told();
}
