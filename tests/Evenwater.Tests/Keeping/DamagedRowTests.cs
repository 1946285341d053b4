using System.Net;
using Evenwater.Core.Alarms;
using Evenwater.Core.Keeping;
using Evenwater.Exporting;
using Evenwater.Keeping;
using Evenwater.Log;
using Evenwater.Log.Summaries;
using Evenwater.Page.Charts;
using Evenwater.Reporting;
using Evenwater.Tests.Daemon;
using Evenwater.Tests.Exporting;
using Evenwater.Tests.Log;
using Evenwater.Tests.Page;
using Microsoft.Data.Sqlite;

namespace Evenwater.Tests.Keeping;

/// <summary>A worn card gives back a row that is no longer what was written: SQLite sees nothing wrong with the file. Who asks is told so, and not shown a stack trace.</summary>
public sealed class DamagedRowTests : IDisposable
{
    private readonly ProgramUnderTest _program = new();

    public void Dispose() => _program.Dispose();

    [Fact]
    public async Task Every_command_that_reads_the_log_says_in_words_that_it_is_damaged_and_the_book_is_read_all_the_same()
    {
        using (var log = NightLog.Open(_program.State, pace: LogFolder.Quick))
        {
            var night = new Night(log) { RunId = 1 };
            night.Add(EntryKind.Run, new RunBody("dripping", "opened"));
            night.Add(EntryKind.Note, new NoteBody(new Note { Id = "n1", Kind = NoteKind.Feed, By = "Ann", At = LogFolder.Evening, Text = "flakes" }));
            night.Cycle();
            log.Flush();
        }

        using (var other = new SqliteConnection($"Data Source={Path.Combine(_program.State, LogFile.Name)};Pooling=False"))
        {
            other.Open();
            using var spoil = other.CreateCommand();
            spoil.CommandText = "UPDATE configuration SET json = replace(json, '\"sensors\":', '\u007f')";
            Assert.Equal(1, spoil.ExecuteNonQuery());
        }

        foreach (var args in new string[][]
        {
            ["report", "river", "--out", Path.Combine(_program.Folder, "r.html")], ["tank", "river"], ["review", "river"],
            ["export", "--log", _program.State, "--out", Path.Combine(_program.Folder, "x.csv"), "--as", "csv"],
        })
        {
            var called = await _program.CallAsync(args);
            Assert.True(called.Exit == 2, $"{args[0]}: exit {called.Exit}");
            Assert.Contains("The log", called.Error, StringComparison.Ordinal);
            Assert.DoesNotContain("   at ", called.Error, StringComparison.Ordinal);
        }

        Assert.Contains("flakes", (await _program.CallAsync("journal", "river")).Out, StringComparison.Ordinal);
        Assert.Equal(0, (await _program.CallAsync("arrival", "river")).Exit);
    }

    /// <summary>A batch of readings, a forecast and a note of a run.</summary>
    [Fact]
    public void A_run_is_reported_and_exported_without_what_is_spoilt_and_that_is_said()
    {
        using var folder = new LogFolder();
        using (var log = folder.Open())
        {
            var night = new Night(log) { RunId = 3 };
            night.Add(EntryKind.Run, new RunBody("dripping", "opened"));
            for (var commit = 0; commit < 3; commit++)
            {
                for (var i = 0; i < 60; i++) night.Cycle();
                log.Flush();
            }

            night.Add(EntryKind.Trip, new TripBody("high-float"));
            night.Add(EntryKind.Alarm, new AlarmBody("high-float", Core.Alarms.AlarmStanding.Unacknowledged, Priority.High, "The float is wet", "closed", "look") { Calls = true });
            night.Add(EntryKind.Note, new NoteBody(new Note { Id = "n1", Kind = NoteKind.Feed, By = "Ann", At = LogFolder.Evening.AddMinutes(1), Text = "flakes" }));
            night.Add(EntryKind.Run, new RunBody("finished", "asked"));
            log.Flush();
        }

        using (var other = new SqliteConnection($"Data Source={folder.File};Pooling=False"))
        {
            other.Open();
            using var spoil = other.CreateCommand();
            spoil.CommandText = "UPDATE batch SET columns = x'0000' WHERE first_id = 62; UPDATE entry SET body = '{\"cause' WHERE kind = 5; UPDATE entry SET body = replace(body, '\"unack', '\"unxck') WHERE kind = 6";
            Assert.Equal(3, spoil.ExecuteNonQuery());
        }

        const string Said = "The log is damaged: 3 rows in or near this span can not be read and are left out. All else is shown.";
        using (var reader = new LogReader(folder.Path, 1))
        {
            var report = ReportMaker.Of(reader, "sim-river", 3, new(folder.Path), TimeZoneInfo.Utc, LogFolder.Evening.AddDays(1));
            Assert.StartsWith(Said, report.Damage, StringComparison.Ordinal);
            Assert.Equal("2026-03-14 20:00 to 2026-03-14 20:03", report.When);
            Assert.Contains(report.Happened, one => one.Text.StartsWith("noted by Ann", StringComparison.Ordinal));
        }

        var ask = new ExportAsk("sim-river", [Core.Channel.TankTemperature]);
        Assert.Equal(122, ExportedLog.Csv(folder.Path, ask).Split("\r\n").Length); // a header, 120 cycles, and nothing after the last line's end
        Assert.DoesNotContain("\r\n62,", ExportedLog.Csv(folder.Path, ask), StringComparison.Ordinal);
        foreach (var (from, damaged) in new[] { (0, 1), (125, 0) })
        {
            _ = ExportedLog.Text(folder.Path, (_, _, writer) => (new CsvExport(writer, ask.Wanted), ask with { From = LogFolder.Evening.AddSeconds(from) }), told => Assert.Equal(damaged, told.Damaged));
        }

        var copy = Path.Combine(_program.Folder, "copy");
        Assert.Equal(123, LogImport.Run(new StringReader(ExportedLog.Whole(folder.Path)), copy, _ => { }));

        // What happened beside the readings is told too, and what of it is spoilt counts.
        var (now, stop) = (LogFolder.Evening.AddMinutes(4), TestContext.Current.CancellationToken);
        Assert.Equal(3, new HistoryReading(folder.Path).Read(new HistoryAsk { Channels = [new("sim-river", Core.Channel.TankTemperature)], From = LogFolder.Evening, To = now, Now = now, Zone = TimeZoneInfo.Utc }, marks: true, stop).DamagedRows);
        Assert.Equal(3, DidReading.Look(folder.Path, "sim-river", new(null, LogFolder.Evening.AddMinutes(1)), TimeZoneInfo.Utc, stop).Found!.DamagedRows);
    }

    /// <summary>The station was configured twice; how it was the last time, or before, is spoilt.</summary>
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public async Task A_configuration_that_is_spoilt_is_left_out_with_what_rests_on_it_and_that_is_said(int spoilt)
    {
        using var folder = new LogFolder();
        using (var log = folder.Open(LogFolder.Quick with { Batch = TimeSpan.FromHours(1) }))
        {
            var night = new Night(log) { RunId = 3 };
            night.Add(EntryKind.Run, new RunBody("dripping", "opened"));
            log.Flush(); // rows end where they are flushed
            for (var i = 0; i < 60; i++) night.Cycle();
            night.Add(EntryKind.Run, new RunBody("finished", "asked"));
            var later = log.Configure(LogFolder.Station() with { Tank = new() { MaxCelsius = 31 }, Source = LogFolder.Station().Source with { VolumeLitres = 250 } });
            for (var i = 0; i < 60; i++) log.Append(night.Make(EntryKind.Cycle, null) with { ConfigurationId = later, RunId = null, Samples = Night.Raw(i, Core.MonotonicTime.FromSeconds(62 + i)) });
            log.Append(night.Make(EntryKind.Note, LogJson.Write(new NoteBody(new Note { Id = "n1", Kind = NoteKind.Feed, By = "Ann", At = LogFolder.Evening.AddMinutes(1), Text = "flakes" }))) with { ConfigurationId = later, RunId = null });
            log.Flush();
        }

        using (var other = new SqliteConnection($"Data Source={folder.File};Pooling=False"))
        {
            other.Open();
            using var spoil = other.CreateCommand();
            spoil.CommandText = $"UPDATE configuration SET json = replace(json, '\"sensors\":', '\u007f') WHERE id = {spoilt}";
            Assert.Equal(1, spoil.ExecuteNonQuery());
        }

        const string Former = "The log is damaged: how the station was configured last can not be read, and an earlier configuration stands in its place.";
        var (now, stop) = (LogFolder.Evening.AddSeconds(122), TestContext.Current.CancellationToken);
        var tank = TankHistory.Read(folder.Path, "sim-river", TimeZoneInfo.Utc, now.AddDays(9));
        Assert.Equal(now, tank.Now);
        Assert.Equal(spoilt == 2 ? 240 : 250, tank.Station.Source.VolumeLitres);
        Assert.Equal(spoilt == 2, TankText.Of(tank, TimeZoneInfo.Utc).Any(line => line.Contains(Former, StringComparison.Ordinal)));
        var back = LookBack.Read(folder.Path, "sim-river", (now.AddDays(-1), now), TimeZoneInfo.Utc, stop);
        Assert.Equal((1, spoilt == 2), (back.DamagedRows, back.FormerConfiguration));

        var did = DidReading.Look(folder.Path, "sim-river", new("n1", null), TimeZoneInfo.Utc, stop).Found!;
        Assert.Contains(did.Answer.Else.All, one => one.What.Text == "the station file changed, in what can not be told: one of the two is damaged in the log");
        Assert.Equal(1, did.DamagedRows);

        using (var reader = new LogReader(folder.Path, 1))
        {
            if (spoilt == 2) Assert.Null(ReportMaker.Of(reader, "sim-river", 3, new(folder.Path), TimeZoneInfo.Utc, now).Damage);
            else Assert.Contains("configured in run 3, without which its readings say nothing", Assert.Throws<InvalidDataException>(() => ReportMaker.Of(reader, "sim-river", 3, new(folder.Path), TimeZoneInfo.Utc, now)).Message, StringComparison.Ordinal);
        }

        var told = new Exported(0, 0);
        var whole = ExportedLog.Text(folder.Path, (_, _, writer) => (new WholeLogExport(writer, LogOrigin.Read(folder.Path, 1), new(folder.Path)), ExportAsk.All), exported => told = exported);
        Assert.Equal([$"configuration {spoilt} of sim-river, with all that was written by it"], told.LeftOut);
        Assert.Equal(told.Entries, LogImport.Run(new StringReader(whole), Path.Combine(_program.Folder, "copy"), _ => { }));
        Assert.Equal(spoilt == 2 ? 62 : 61, told.Entries);
        Assert.Equal(spoilt == 2 ? 62 : 61, ExportedLog.Line(folder.Path, ExportAsk.All).TrimEnd('\n').Split('\n').Length);

        await using var page = await ServedPage.StartAsync(folder.Path, ChartLibrary.Built, MadeUp.Night(0.1) with { Now = now });
        using var request = new HttpRequestMessage(HttpMethod.Get, new Uri("/stations/sim-river/swings", UriKind.Relative));
        request.Headers.Add("Accept", "text/html");
        using var answer = await page.Client.SendAsync(request, stop);
        Assert.Equal(spoilt == 2, WebUtility.HtmlDecode(await answer.Content.ReadAsStringAsync(stop)).Contains(Former, StringComparison.Ordinal));
    }

    /// <summary>Numbers of a row are spoilt as easily as its text. SQLite's own limits of a whole number stand for any that is none of ours.</summary>
    [Theory]
    [InlineData(
        "UPDATE entry SET wall_ms = 9223372036854775807 WHERE kind = 10; UPDATE entry SET wall_ms = -9223372036854775807 WHERE kind = 5; UPDATE batch SET first_wall_ms = 0 WHERE first_id = 2; "
        + "UPDATE batch SET last_wall_ms = 9223372036854775807 WHERE first_id = 62; UPDATE batch SET last_id = 9223372036854775807 WHERE first_id = 122", 5, 5)]
    [InlineData(
        "PRAGMA foreign_keys = OFF; UPDATE entry SET clock_quality = 9223372036854775807 WHERE kind = 10; UPDATE entry SET kind = 9223372036854775807 WHERE kind = 5; "
        + "UPDATE batch SET count = 9223372036854775807 WHERE first_id = 2; UPDATE batch SET clock_quality = 9 WHERE first_id = 62; UPDATE batch SET configuration_id = 99 WHERE first_id = 122", 5, 5)]
    [InlineData("PRAGMA foreign_keys = OFF; UPDATE batch SET boot_id = 99 WHERE first_id = 62; UPDATE entry SET boot_id = 99 WHERE kind = 10", 2, 61)]
    public void A_number_that_is_none_of_ours_ends_nothing_and_what_is_exported_is_imported(string spoilt, int rows, int damaged)
    {
        using var folder = new LogFolder();
        using (var log = folder.Open(LogFolder.Quick with { Batch = TimeSpan.FromHours(1) }))
        {
            var night = new Night(log) { RunId = 3 };
            night.Add(EntryKind.Run, new RunBody("dripping", "opened"));
            log.Flush(); // rows end where they are flushed
            for (var commit = 0; commit < 3; commit++)
            {
                for (var i = 0; i < 60; i++) night.Cycle();
                log.Flush();
            }

            night.Add(EntryKind.Trip, new TripBody("high-float"));
            night.Add(EntryKind.Note, new NoteBody(new Note { Id = "n1", Kind = NoteKind.Feed, By = "Ann", At = LogFolder.Evening.AddMinutes(1), Text = "flakes" }));
            log.Flush();
        }

        using (var other = new SqliteConnection($"Data Source={folder.File};Pooling=False"))
        {
            other.Open();
            using var spoil = other.CreateCommand();
            spoil.CommandText = spoilt;
            Assert.Equal(rows, spoil.ExecuteNonQuery());
        }

        var (now, stop) = (LogFolder.Evening.AddMinutes(4), TestContext.Current.CancellationToken);
        var told = new Exported(0, 0);
        var whole = ExportedLog.Text(folder.Path, (_, _, writer) => (new WholeLogExport(writer, LogOrigin.Read(folder.Path, 1), new(folder.Path)), ExportAsk.All), exported => told = exported);
        Assert.Equal(damaged, told.Damaged);
        Assert.Equal(told.Entries, LogImport.Run(new StringReader(whole), Path.Combine(_program.Folder, "copy"), _ => { }));
        _ = ExportedLog.Csv(folder.Path, ExportAsk.All);
        _ = ExportedLog.Line(folder.Path, ExportAsk.All);

        _ = TankHistory.Read(folder.Path, "sim-river", TimeZoneInfo.Utc, now);
        _ = LookBack.Read(folder.Path, "sim-river", (now.AddDays(-1), now), TimeZoneInfo.Utc, stop);
        _ = DidReading.Look(folder.Path, "sim-river", new("n1", null), TimeZoneInfo.Utc, stop);
        _ = new HistoryReading(folder.Path).Read(new HistoryAsk { Channels = [new("sim-river", Core.Channel.TankTemperature)], From = LogFolder.Evening, To = now, Now = now, Zone = TimeZoneInfo.Utc }, marks: true, stop);
        using (var look = new LogLook(folder.Path, now)) _ = look.Figures([Evenwater.Followers.Lane.Influx], _ => 70);
        using (var reader = new LogReader(folder.Path, 1))
        {
            Assert.InRange(reader.LastId(), 183, 183 + 16_384);
            Assert.Contains("flakes", string.Join('\n', BookText.Of(Books.Of(reader, "sim-river"), TimeZoneInfo.Utc, NoteKind.None, default, all: false)), StringComparison.Ordinal);
            _ = ReportMaker.Of(reader, "sim-river", 3, new(folder.Path), TimeZoneInfo.Utc, now);
        }

        using var again = folder.Open();
        again.Append(new Night(again).Make(EntryKind.Event, LogJson.Write(new EventBody("test", "x"))));
        again.Flush();
    }

    /// <summary>A batch, the last one too, and a summary: each is passed over, what else was read is there, and it is said.</summary>
    [Fact]
    public async Task A_row_of_readings_that_is_spoilt_is_left_out_of_what_is_looked_at_and_that_is_said()
    {
        using var folder = new LogFolder();
        using (var log = folder.Open())
        {
            var night = new Night(log);
            for (var commit = 0; commit < 3; commit++)
            {
                for (var i = 0; i < 60; i++) night.Cycle();
                log.Flush();
            }
        }

        using (var other = new SqliteConnection($"Data Source={folder.File};Pooling=False"))
        {
            other.Open();
            using var spoil = other.CreateCommand();
            spoil.CommandText = "UPDATE batch SET columns = x'0000' WHERE first_id <> (SELECT min(first_id) FROM batch)";
            Assert.Equal(2, spoil.ExecuteNonQuery());
            spoil.CommandText = $"INSERT INTO summary (station, channel, grain, start_ms, columns) VALUES ('sim-river', {(int)Core.Channel.TankTemperature}, {(int)Grain.QuarterHour}, {Grains.Floor(LogFolder.Evening.ToUnixTimeMilliseconds(), Grains.RowMs(Grain.QuarterHour))}, x'07')";
            Assert.Equal(1, spoil.ExecuteNonQuery());
        }

        var (now, stop) = (LogFolder.Evening.AddSeconds(180), TestContext.Current.CancellationToken);
        var tank = TankHistory.Read(folder.Path, "sim-river", TimeZoneInfo.Utc, now.AddDays(9));
        Assert.Equal(now, tank.Now); // a simulated station's own, by the end of its last row, whose readings are spoilt
        Assert.NotNull(tank.Channels.Single(one => one.Channel == Core.Channel.TankTemperature).LastAt);
        Assert.Contains("log           The log is damaged: 3 rows in or near this span can not be read and are left out. All else is shown. Put the log on another card: stop the program, and keep the file.", TankText.Of(tank, TimeZoneInfo.Utc));
        Assert.Equal(2, LookBack.Read(folder.Path, "sim-river", (now.AddDays(-1), now), TimeZoneInfo.Utc, stop).DamagedRows); // by minutes: no quarters are read

        await using var page = await ServedPage.StartAsync(folder.Path, ChartLibrary.Built, MadeUp.Night(0.1) with { Now = now });
        foreach (var (path, rows) in new[] { ("history.csv?span=hour&channel=sim-river/tank_temperature", "2"), ("history.senml?span=hour&channel=sim-river/tank_temperature", "2"), ("stations/sim-river/swings.csv", "2"), ("stations/sim-river/did.csv?at=2026-03-14T20:01Z", "3") })
        {
            using var table = await page.Client.GetAsync(new Uri($"/api/v1/{path}", UriKind.Relative), stop);
            Assert.Equal(rows, table.Headers.GetValues("Evenwater-Damaged-Rows").Single());
        }

        Assert.Contains("\"damagedRows\":3", await page.Client.GetStringAsync(new Uri("/api/v1/stations/sim-river/did?at=2026-03-14T20:01Z", UriKind.Relative), stop), StringComparison.Ordinal);
        foreach (var (path, rows) in new[] { ("history?span=hour", 2), ("swings", 2), ("did?at=2026-03-14T20:01Z", 3) })
        {
            using var request = new HttpRequestMessage(HttpMethod.Get, new Uri($"/stations/sim-river/{path}", UriKind.Relative));
            request.Headers.Add("Accept", "text/html");
            using var answer = await page.Client.SendAsync(request, stop);
            Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
            Assert.Contains($"The log is damaged: {rows} rows in or near this span can not be read and are left out.", await answer.Content.ReadAsStringAsync(stop), StringComparison.Ordinal);
        }
    }
}
