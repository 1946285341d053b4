using System.Text.RegularExpressions;
using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;
using Evenwater.Log;
using Evenwater.Photographs;
using Evenwater.Reporting;
using Evenwater.Running;
using Evenwater.Tests.Log;
using Evenwater.Tests.Photographs;

namespace Evenwater.Tests.Reporting;

/// <summary>A rehearsed hour that a limit ends, its animals and its book, on paper.</summary>
public sealed partial class ReportTests : IDisposable
{
    private const string Script = "<script>alert('1')</script>\" onload=\"x";

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void An_alarm_that_calls_all_night_takes_one_row()
    {
        using var log = _folder.Open();
        Rehearsal.Run(DemoStation.Read(), 1, [Hardware.Rig.RigFault.Parse("leak-wet@10m")], 0.75, log); // it calls after 10, 20, 30 and 40 min
        log.Flush();
        var report = ReportMaker.Of(log.Reader, "sim-river", 1, new PhotographFolder(_folder.Path), TimeZoneInfo.Utc, DateTimeOffset.UnixEpoch.AddYears(57));
        var row = Assert.Single(report.Alarms);
        Assert.Equal("2026-01-10 20:10", row.When);
        Assert.EndsWith("The same 3 times more, last at 2026-01-10 20:40.", row.Text, StringComparison.Ordinal);

        // Neither report nor export writes over the log that it reads, whatever --overwrite says: a year of readings was gone.
        var file = Path.Combine(_folder.Path, LogFile.Name);
        foreach (string[] words in new string[][] { ["report"], ["export", "--as", "csv"] })
        {
            Assert.Equal(Exit.WrongUse, Root.Create().Parse([.. words, "--log", _folder.Path, "--out", file, "--overwrite"]).Invoke());
            using var kept = new FileStream(file, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
            var first = new byte[15];
            kept.ReadExactly(first);
            Assert.Equal("SQLite format 3"u8.ToArray(), first); // its own first bytes: sqlite.org, Database File Format, 1.3
        }
    }

    /// <summary>"finish --alive 2" wrote the count into the book, and the report of its run said that nothing was noted; and of an alarm it said "returned unacknowledged", where all else says "returned, unacknowledged".</summary>
    [Fact]
    public void A_count_whose_arrival_nobody_noted_is_told_and_alarms_stand_in_the_words_of_the_page()
    {
        using var log = _folder.Open();
        Rehearsal.Run(DemoStation.Read(), 1, [], 0.25, log);
        var (night, at) = (new Night(log), log.Reader.ReadRun(1).First(e => e.Kind == EntryKind.Run).Wall!.Value.AddHours(1));
        night.Add(EntryKind.Note, new NoteBody(new Note { Id = "n1", Kind = NoteKind.Outcome, By = "Ann", At = at, Outcome = new() { Run = 1, Look = Look.Release, Alive = 2 } }));
        night.Add(EntryKind.Note, new NoteBody(new Note { Id = "n2", Kind = NoteKind.Outcome, By = "Ann", At = at, Outcome = new() { Run = 7, Look = Look.Release, Alive = 9 } })); // of another run
        night.RunId = 1;
        night.Add(EntryKind.Alarm, new AlarmBody("drip-slow", Core.Alarms.AlarmStanding.ReturnedUnacknowledged, Core.Alarms.Priority.Medium, "The drip has nearly stopped", "It is gone.", "Look."));
        log.Flush();
        var report = ReportMaker.Of(log.Reader, "sim-river", 1, new PhotographFolder(_folder.Path), TimeZoneInfo.Utc, at.AddHours(1));
        Assert.Empty(report.Arrival);
        Assert.Equal($"{at:yyyy-MM-dd HH:mm}: alive 2, dead not counted (Ann)", Assert.Single(report.Outcomes, row => row.What == "release").Value);
        Assert.Single(report.Outcomes);
        Assert.Equal("The drip has nearly stopped: returned, unacknowledged. It is gone.", Assert.Single(report.Alarms).Text);
    }

    [Fact]
    public async Task A_run_with_its_animals_and_its_book_is_told_on_one_page_that_stands_alone()
    {
        using var log = _folder.Open();
        var station = DemoStation.Read() with { Limits = new() { Group = AnimalGroup.FreshwaterFish, MicrosiemensPerCmPerHour = 20 } };
        Rehearsal.Run(station, 1, [], 1, log);
        var began = log.Reader.ReadRun(1).First(e => e.Kind == EntryKind.Run).Wall!.Value;
        var night = new Night(log);
        var photographs = new PhotographFolder(_folder.Path);
        var kept = photographs.Keep(MadePicture.Jpeg(60, 40)).Name!;
        night.Add(EntryKind.Note, new NoteBody(new Note { Id = "n1", Kind = NoteKind.Arrival, By = "Ann", At = began.AddHours(-1), Text = Script, Arrival = new() { Species = $"rice fish {Script}", Count = 6, Grams = 3, Ph = 6.8 } }));
        night.Add(EntryKind.Note, new NoteBody(new Note { Id = "n2", Kind = NoteKind.Outcome, By = Script, At = began.AddHours(1), Text = Script, Outcome = new() { Arrival = "n1", Run = 1, Look = Look.Release, Alive = 6, Dead = 0 } }));
        night.Add(EntryKind.Note, new NoteBody(new Note { Id = "n3", Kind = NoteKind.Feed, By = "Bea", At = began.AddMinutes(10), Text = $"flakes {Script}", Photographs = [kept, new string('0', 64)] }));
        foreach (var (id, by, days) in new[] { ("n4", "Bea", -1), ("n5", "Ann", -3) }) // the clock was wrong at the former: the one written last holds
        {
            night.Add(EntryKind.Note, new NoteBody(new Note
            {
                Id = id, Kind = NoteKind.Calibration, By = by, At = began.AddDays(days),
                Calibration = new("vessel-conductivity", began.AddDays(days), by, Script, [new("sensors.vesselConductivity.cellConstantPerCm", "1/cm", 1, 1, 0.01)], began.AddDays(27)),
            }));
        }

        log.Flush();

        var report = ReportMaker.Of(log.Reader, "sim-river", 1, photographs, TimeZoneInfo.Utc, began.AddHours(30));
        Assert.Equal("The waters are not even so far; the valve was closed for safety (The water changes faster or further than the animals' limit). The run has not ended.", report.Verdict);
        Assert.Equal("not yet, for the dwell time", report.Course.Single(row => row.What == "even since").Value);
        Assert.Contains(report.Arrival, row => row is { What: "mass", Value: "3 g together" });
        Assert.Contains(report.Arrival, row => row is { What: "bag's nitrite", Value: "not measured" });
        Assert.Contains(report.Outcomes, row => row.What == "release" && row.Value.Contains("alive 6, dead 0", StringComparison.Ordinal));
        Assert.Contains(report.Outcomes, row => row.What == "24h" && row.Value.StartsWith("due since", StringComparison.Ordinal));
        Assert.Contains(report.Alarms, moment => moment.Text.StartsWith("The water changes faster or further than the animals' limit: unacknowledged, called.", StringComparison.Ordinal));
        Assert.Contains(report.Happened, moment => moment.Text.StartsWith("noted by Bea (feed): flakes", StringComparison.Ordinal));
        Assert.Contains(report.Calibrations, row => row.What == "sensors.vesselConductivity.cellConstantPerCm" && row.Value.Contains("calibrated 2026-01-07 20:00 by Ann,", StringComparison.Ordinal));
        Assert.Contains(report.Calibrations, row => row.What == "sensors.tankConductivity.cellConstantPerCm" && row.Value.EndsWith("from the station file", StringComparison.Ordinal));
        // Nothing counts drops here; and one probe agrees with no other.
        Assert.DoesNotContain(report.Calibrations, row => row.What.StartsWith("drip.", StringComparison.Ordinal));
        Assert.Contains(report.Calibrations, row => row.What == "probes.gainRatioSd");
        var demo = DemoStation.Read();
        Assert.False(ReportMaker.Bears(demo with { Sensors = demo.Sensors with { TankConductivity = null } }, "probes.gainRatioSd"));
        Assert.True(ReportMaker.Bears(demo with { Sensors = demo.Sensors with { DropCounterLine = 16 } }, "drip.dropMillilitres"));

        Assert.Equal(
            [("n3, feed", $"photographs/{kept}.jpg, named by its SHA-256"), ("n3, feed", $"photographs/{new string('0', 64)}.jpg, named by its SHA-256; its file is deleted")],
            report.Photographs.Select(row => (row.What, row.Value)));

        Assert.StartsWith("A limit closed the valve at ", report.LimitsSaid, StringComparison.Ordinal);

        // 20 µS/cm an hour is the station file's own; the bag falls faster than that in its first hour.
        var rate = report.Rates[0];
        Assert.Equal(("20 µS/cm per hour", "the station file", true), (rate.Limit, rate.Source, rate.Passed));
        Assert.Equal(ByHand(log.Reader), double.Parse(Number().Match(rate.Seen).Value, System.Globalization.CultureInfo.InvariantCulture), 2.0);
        Assert.Equal("common practice, no source", report.Rates[2].Source);

        var page = await ReportFile.OfAsync(report);
        Assert.DoesNotContain("<script", page, StringComparison.OrdinalIgnoreCase);
        Assert.Contains("&lt;script&gt;", page, StringComparison.Ordinal);
        Assert.DoesNotContain(" onload=\"", page, StringComparison.Ordinal);
        Assert.DoesNotContain(Outside().Matches(page), m => !m.Value.EndsWith("http://www.w3.org/2000/svg", StringComparison.Ordinal));
        Assert.Contains("default-src 'none'", page, StringComparison.Ordinal);
        Assert.Equal(4, Regex.Count(page, "<svg "));
        Assert.Contains("the station file", page, StringComparison.Ordinal);
    }

    /// <summary>Clocks that are put back within the run: the pictures said another hour than the table beside them.</summary>
    [Fact]
    public void Its_pictures_tell_the_hours_of_the_table_in_the_night_in_which_clocks_are_put_back_as_well()
    {
        using var log = _folder.Open();
        Rehearsal.Run(DemoStation.Read(), 1, [], 0.75, log);
        log.Flush();
        var back = new DateTime(1, 1, 1, 22, 30, 0); // 20:30 UTC, half an hour after it began
        var zone = TimeZoneInfo.CreateCustomTimeZone("made up", TimeSpan.FromHours(1), "made up", "standard", "summer",
            [TimeZoneInfo.AdjustmentRule.CreateAdjustmentRule(
                DateTime.MinValue.Date, DateTime.MaxValue.Date, TimeSpan.FromHours(1),
                TimeZoneInfo.TransitionTime.CreateFixedDateRule(DateTime.MinValue, 7, 1), TimeZoneInfo.TransitionTime.CreateFixedDateRule(back, 1, 10))]);
        var report = ReportMaker.Of(log.Reader, "sim-river", 1, new PhotographFolder(_folder.Path), zone, DateTimeOffset.UnixEpoch.AddYears(57));
        var (first, last) = (report.View!.ClockAt(report.View.History[0].Seconds), report.View.ClockAt(report.View.NowSeconds));
        Assert.Equal(["2026-01-10 22:00", "2026-01-10 21:44"], new[] { first, last }.Select(at => at.ToString("yyyy-MM-dd HH:mm", System.Globalization.CultureInfo.InvariantCulture)));
        Assert.StartsWith("2026-01-10 22:00+02:00 to ", report.When, StringComparison.Ordinal);
    }

    /// <summary>What had happened before a clock was put right stood after it, and the run seemed to have closed before it began.</summary>
    [Theory]
    [InlineData(-9, "back by 9 h")]
    [InlineData(9, "forward by 9 h")]
    public void What_happened_stands_in_its_order_and_that_the_clock_was_set_meanwhile_is_told(double hours, string how)
    {
        using var log = _folder.Open();
        var night = new Night(log) { RunId = 1 };
        foreach (var (phase, set) in new[] { ("armed", 0.0), ("dripping", 0), ("holding", hours), ("finished", hours) })
        {
            var entry = night.Make(EntryKind.Run, LogJson.Write(new RunBody(phase, "test")));
            log.Append(entry with { Wall = entry.Wall!.Value.AddHours(set) });
        }

        log.Flush();
        var report = ReportMaker.Of(log.Reader, "sim-river", 1, new(_folder.Path), TimeZoneInfo.Utc, LogFolder.Evening.AddDays(1));
        Assert.Equal(["armed: test", "dripping: test", "clock", "holding: test", "finished: test"], report.Happened.Select(moment => moment.Text.Contains(how, StringComparison.Ordinal) ? "clock" : moment.Text));
    }

    [Fact]
    public void A_run_that_the_log_has_not_is_refused()
    {
        using var log = _folder.Open();
        new Night(log) { RunId = 3 }.Add(EntryKind.Run, new RunBody("armed", "asked"));
        log.Flush();
        Assert.Equal([3L], log.Reader.Runs("sim-river"));
        Assert.Empty(log.Reader.Runs("sim-lagoon"));
        Assert.Equal("--run = 4: sim-river has had one run, 1. Leave --run out, and that is reported.", ReportCommand.NoSuchRun("sim-river", 4, [1]));
        Assert.Equal("--run = 4: the runs of sim-river are 1, 3. Name one of them.", ReportCommand.NoSuchRun("sim-river", 4, [1, 3]));
        Assert.Throws<InvalidDataException>(() => ReportMaker.Of(log.Reader, "sim-river", 4, new(_folder.Path), TimeZoneInfo.Utc, LogFolder.Evening));
        Assert.Throws<InvalidDataException>(() => ReportMaker.Of(log.Reader, "sim-lagoon", 3, new(_folder.Path), TimeZoneInfo.Utc, LogFolder.Evening));
    }

    [Fact]
    public void A_run_whose_readings_had_to_go_still_tells_what_happened()
    {
        using var log = _folder.Open();
        var night = new Night(log) { RunId = 3 };
        night.Add(EntryKind.Run, new RunBody("dripping", "opened"));
        night.Add(EntryKind.Run, new RunBody("finished", "ended after the match"));
        log.Flush();
        var report = ReportMaker.Of(log.Reader, "sim-river", 3, new(_folder.Path), TimeZoneInfo.Utc, LogFolder.Evening.AddDays(1));
        Assert.Equal("Whether the waters became even can't be told: the log has no readings of the run's beginning. The run was finished.", report.Verdict);
        Assert.All(["even since", "valve open"], what => Assert.Equal("can't be told: the readings are not in the log", report.Course.Single(row => row.What == what).Value));
        Assert.Equal("can't be told: the readings are not in the log", report.Calibrations[^1].Value);
        Assert.Null(report.View);
        Assert.Equal(2, report.Happened.Count);
        Assert.All(report.Rates, rate => Assert.StartsWith("not told", rate.Seen, StringComparison.Ordinal));
    }

    /// <summary>What a run that still goes on has not done yet it may still do.</summary>
    [Fact]
    public async Task Of_a_run_that_goes_on_nothing_is_told_as_if_it_were_over()
    {
        using var log = _folder.Open();
        new Night(log) { RunId = 3 }.Add(EntryKind.Run, new RunBody("armed", "asked"));
        log.Flush();
        var report = ReportMaker.Of(log.Reader, "sim-river", 3, new(_folder.Path), TimeZoneInfo.Utc, LogFolder.Evening.AddHours(1));
        Assert.EndsWith(" The run has not ended.", report.Verdict, StringComparison.Ordinal);
        Assert.Equal(["not yet", "not yet opened"], report.Course.Where(row => row.What is "first opened" or "closed").Select(row => row.Value));
        Assert.Contains("<p>The log has too few readings of this run for a curve: hardly any were taken, or they had to make room.", await ReportFile.OfAsync(report), StringComparison.Ordinal);
    }

    [Fact]
    public void Of_what_was_not_read_it_is_not_said_that_no_limit_was_passed()
    {
        using var log = _folder.Open();
        var limited = log.Configure(LogFolder.Station() with { Limits = new() { CelsiusPerHour = 5 } });
        log.Append(new Night(log) { RunId = 3 }.Make(EntryKind.Run, LogJson.Write(new RunBody("dripping", "opened"))) with { ConfigurationId = limited });
        log.Flush();
        Assert.Equal("Whether a limit was passed can't be told: too little was read.", ReportMaker.Of(log.Reader, "sim-river", 3, new(_folder.Path), TimeZoneInfo.Utc, LogFolder.Evening.AddDays(1)).LimitsSaid);
    }

    [Fact]
    public void What_was_asked_is_told_in_words()
    {
        using var log = _folder.Open();
        var night = new Night(log) { RunId = 3 };
        night.Add(EntryKind.Run, new RunBody("dripping", "opened"));
        foreach (var (verb, by, answer) in new[] { ("drawn", "Ann", "2 L were drawn off."), ("restarted", "start", "Done."), ("close", "Bea", "The valve is closed.") }) night.Add(EntryKind.Command, new CommandBody(verb, by, true, answer));
        log.Flush();
        Assert.Equal(
            ["dripping: opened", "Ann told of water drawn off: 2 L were drawn off.", "the program was started again", "Bea asked to close: The valve is closed."],
            ReportMaker.Of(log.Reader, "sim-river", 3, new(_folder.Path), TimeZoneInfo.Utc, LogFolder.Evening.AddDays(1)).Happened.Select(one => one.Text));
    }

    /// <summary>A reset in the morning holds the run, and so does the start after a power cut: neither closes a valve.</summary>
    [Theory]
    [InlineData("tripped", false, "2026-01-10 22:00")]
    [InlineData("holding", false, "2026-01-10 22:00")]
    [InlineData("holding", true, "2026-01-10 21:30")] // the last that the log has of the program that was cut
    [InlineData("dripping", true, "not yet")] // it went on after the cut, and drips
    public void It_tells_when_the_valve_closed(string then, bool cut, string closed)
    {
        using var log = _folder.Open();
        var night = new Night(log) { RunId = 3 };
        DateTimeOffset At(int minutes) => new DateTimeOffset(2026, 1, 10, 21, 0, 0, TimeSpan.Zero).AddMinutes(minutes);
        void Add(Night of, int minutes, EntryKind kind, object body) => log.Append(of.Make(kind, LogJson.Write(body)) with { Wall = At(minutes) });
        Add(night, 0, EntryKind.Run, new RunBody("dripping", "opened"));
        Add(night, 30, EntryKind.Event, new EventBody("seen", "something"));
        var later = cut ? new Night(log) { RunId = 3 } : night;
        Add(later, 60, EntryKind.Run, new RunBody(then, "then"));
        if (then != "dripping") Add(later, 600, EntryKind.Run, new RunBody("holding", "reset"));
        log.Flush();
        var report = ReportMaker.Of(log.Reader, "sim-river", 3, new(_folder.Path), TimeZoneInfo.Utc, LogFolder.Evening.AddDays(1));
        Assert.Equal(closed, report.Course.Single(row => row.What == "closed").Value);
    }

    [Theory]
    [InlineData(60, "+01:00")]
    [InlineData(-210, "-03:30")]
    [InlineData(0, "+00:00")]
    public void It_tells_on_which_side_of_UTC_its_times_are(int minutes, string told)
    {
        using var log = _folder.Open();
        new Night(log) { RunId = 3 }.Add(EntryKind.Run, new RunBody("dripping", "opened"));
        log.Flush();
        var zone = TimeZoneInfo.CreateCustomTimeZone("own", TimeSpan.FromMinutes(minutes), "own", "own");
        Assert.Contains($"({told} from UTC)", ReportMaker.Of(log.Reader, "sim-river", 3, new(_folder.Path), zone, LogFolder.Evening).Made, StringComparison.Ordinal);
    }

    /// <summary>From the log's own readings: the greatest difference of two means over five minutes that lie 25 min apart, per hour.</summary>
    private static double ByHand(LogReader log)
    {
        var readings = log.ReadRun(1).Where(e => e.Kind == EntryKind.Cycle)
            .Select(e => (Seconds: e.At.Seconds, Value: Calibrate.Apply(e.Samples!.Value, log.Configuration(e.ConfigurationId).Sensors)[Channel.VesselConductivity].TryGet(out var value) ? value : double.NaN))
            .Where(r => !double.IsNaN(r.Value)).ToList();
        var (first, last, greatest) = (readings[0].Seconds, readings[^1].Seconds, 0.0);
        for (var from = first; from + 1800 <= last; from += 30)
        {
            var rate = (Mean(from + 1500) - Mean(from)) / (1500.0 / 3600);
            greatest = Math.Abs(rate) > Math.Abs(greatest) ? rate : greatest;
        }

        return greatest;

        double Mean(double from) => readings.Where(r => r.Seconds >= from && r.Seconds < from + 300).Average(r => r.Value);
    }

    [GeneratedRegex(@"[-+]?\d+")]
    private static partial Regex Number();

    [GeneratedRegex(@"(src|href|url)\s*[=(]\s*[""']?(?!#)[^\s""'>)]+|https?://[^\s""'<>]+")]
    private static partial Regex Outside();
}
