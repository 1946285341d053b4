using Evenwater.Core.Calibration;
using Evenwater.Core.Keeping;
using Evenwater.Hardware.Rig;
using Evenwater.Keeping;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;
using Evenwater.Tests.Running;

namespace Evenwater.Tests.Keeping;

/// <summary>Notes in the log: written, read back whatever stands between, and of no weight for control.</summary>
public sealed class BookInLogTests : IDisposable
{
    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_note_comes_back_as_it_was_written_with_the_entry_s_date_where_it_had_none()
    {
        var record = new CalibrationRecord("vessel-conductivity", LogFolder.Evening, "Ann", "standard 1413", [new("sensors.vesselConductivity.cellConstantPerCm", "1/cm", 1, 1.01, 0.004)], LogFolder.Evening.AddDays(30));
        Note[] notes =
        [
            new() { Id = "n1", Kind = NoteKind.WaterChange, At = LogFolder.Evening.ToOffset(TimeSpan.FromHours(2)), WrittenAt = LogFolder.Evening, By = "Ann", Text = "µ <b> \"", Litres = 20.5 },
            new() { Id = "n2", Kind = NoteKind.Calibration, At = LogFolder.Evening, WrittenAt = LogFolder.Evening, By = "Ann", Calibration = record },
        ];
        using var log = _folder.Open();
        var (night, other) = (new Night(log), new Night(log, "sim-lagoon"));
        night.Add(EntryKind.Note, new NoteBody(notes[0]));
        other.Add(EntryKind.Note, new NoteBody(notes[0] with { Text = "another's" }));
        night.Cycle();
        night.Add(EntryKind.Note, new NoteBody(notes[1]));
        night.Add(EntryKind.Note, new NoteBody(new Note { Id = "n3", Kind = NoteKind.Trim, By = "Ann", Text = "reeds" }));
        log.Flush();
        var read = Books.Notes(log.Reader, "sim-river").ToList();
        Assert.Equal(notes.Select(LogJson.Write), read.Take(2).Select(LogJson.Write));
        Assert.Equal(LogFolder.Evening.AddSeconds(4), read[2].At);
        Assert.Contains("\"kind\":\"water-change\"", log.Reader.Notes("sim-river")[0].Body, StringComparison.Ordinal);
    }

    /// <summary>A worn card spoils a note: the others stand, and the place says that it can not be read. Of a calibration nothing is guessed.</summary>
    [Fact]
    public void A_damaged_note_hides_no_other_but_one_that_may_be_a_calibration_is_no_note_to_go_on_without()
    {
        using var log = _folder.Open();
        var night = new Night(log);
        foreach (var (id, text) in new[] { ("n1", "flakes"), ("n2", "worms"), ("n3", "flakes again") })
        {
            night.Add(EntryKind.Note, new NoteBody(new Note { Id = id, Kind = NoteKind.Feed, By = "Ann", Text = text }));
        }

        var last = night.Add(EntryKind.Note, new NoteBody(new Note { Id = "n4", Kind = NoteKind.Calibration, By = "Ann" }));
        log.Flush();
        Spoil("replace(body, 'worms\"', 'wo\"ms\"') WHERE body LIKE '%worms%'");
        var book = Books.Of(log.Reader, "sim-river");
        Assert.Equal(["flakes", "What was noted here is damaged in the log and can not be read (entry 2).", "flakes again", ""], book.Standing.Select(note => note.Text));
        Assert.Equal(("n2", "n5"), (book.Find("n2")?.Now.Id, book.NextId));

        Spoil($"replace(body, '\"by\":', '\"by') WHERE id = {last}");
        Assert.ThrowsAny<System.Text.Json.JsonException>(() => Books.Of(log.Reader, "sim-river"));

        void Spoil(string how)
        {
            using var other = new Microsoft.Data.Sqlite.SqliteConnection($"Data Source={_folder.File};Pooling=False");
            other.Open();
            using var spoil = other.CreateCommand();
            spoil.CommandText = $"UPDATE entry SET body = {how}";
            Assert.Equal(1, spoil.ExecuteNonQuery());
        }
    }

    [Fact]
    public void A_restart_in_the_middle_of_a_run_with_notes_comes_to_the_same_state_as_without()
    {
        using var plain = new LogFolder();
        var states = new List<string>();
        foreach (var (folder, notes) in new[] { (plain, false), (_folder, true) })
        {
            using var log = folder.Open();
            var station = Evenwater.Commands.DemoStation.Read();
            using var drive = new RigDrive(new SimulatedRig(station, 1, []), new Core.StationState(station), log, Core.MonotonicTime.FromSeconds(1), LogFolder.Evening);
            drive.Begin();
            for (var i = 0; i < 3; i++)
            {
                drive.Go(300, () => drive.CommitAnd(false));
                if (notes)
                {
                    drive.Loop.Keep(new Note { Id = $"n{i + 1}", Kind = NoteKind.Feed, By = "Ann", Text = "a little" });
                }
            }

            log.Flush();
            var again = Restart.Of(log, station, new SetTime(LogFolder.Evening.AddSeconds(920), TimeZoneInfo.Utc));
            Assert.Equal(notes ? 3 : 0, log.Reader.Notes(station.Name).Count);
            states.Add(LogJson.Write(new { again.RunId, again.State.Phase, again.State.OpenSeconds, again.State.InflowLitres, Volume = again.State.Forecast.VolumeLitres.P50, drive.Now.Nanoseconds }));
        }

        Assert.Equal(states[0], states[1]);
    }

    [Fact]
    public void Without_a_daemon_the_command_writes_into_the_log_itself_and_a_repeated_one_once()
    {
        var wanted = new Note { Kind = NoteKind.WaterChange, By = "Ann", Litres = 20 };
        var time = new SetTime(LogFolder.Evening, TimeZoneInfo.Utc);
        var first = OfflineBook.Write(_folder.Path, LogFolder.Station(), wanted, time);
        var again = OfflineBook.Write(_folder.Path, LogFolder.Station(), wanted, time);
        var other = OfflineBook.Write(_folder.Path, LogFolder.Station(), wanted with { Litres = 21 }, time);
        Assert.Equal(("n1", "n2"), (first.Note?.Id, other.Note?.Id));
        Assert.Contains("already, as n1", again.Text, StringComparison.Ordinal);
        var refused = OfflineBook.Write(_folder.Path, LogFolder.Station(), wanted with { Litres = -1 }, time);
        Assert.Contains("litres: -1. Allowed: above 0, to 20000 L", refused.Text, StringComparison.Ordinal);
        using var reader = new LogReader(_folder.Path, 1);
        Assert.Equal(["n1", "n2"], Books.Of(reader, "sim-river").Standing.Select(note => note.Id));
        Assert.Equal(LogFolder.Evening, Books.Of(reader, "sim-river").Standing.First().At);
    }

    /// <summary>A clock that was wrong by months and is right again: what was written meanwhile is no twin of what is written now.</summary>
    [Fact]
    public void A_note_like_one_that_is_dated_in_the_future_is_written_all_the_same()
    {
        var wanted = new Note { Kind = NoteKind.Dose, By = "Ann", Text = "iron", Amount = 5, Unit = "mL" };
        var time = new SetTime(LogFolder.Evening.AddDays(90), TimeZoneInfo.Utc);
        OfflineBook.Write(_folder.Path, LogFolder.Station(), wanted, time);
        time.Set(LogFolder.Evening);
        Assert.Equal("n2", OfflineBook.Write(_folder.Path, LogFolder.Station(), wanted, time).Note?.Id);
        time.Set(LogFolder.Evening.AddSeconds(-30)); // the clock is set by seconds now and then
        Assert.Contains("already, as n2", OfflineBook.Write(_folder.Path, LogFolder.Station(), wanted, time).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_station_that_was_configured_anew_since_keeps_its_book()
    {
        var station = LogFolder.Station();
        OfflineBook.Write(_folder.Path, station, new Note { Kind = NoteKind.Feed, By = "Ann", Text = "flakes" }, new SetTime(LogFolder.Evening, TimeZoneInfo.Utc));
        OfflineBook.Write(_folder.Path, station with { Room = new() { TemperatureCelsius = 19 } }, new Note { Kind = NoteKind.Feed, By = "Ann", Text = "peas" }, new SetTime(LogFolder.Evening.AddDays(400), TimeZoneInfo.Utc));
        using var reader = new LogReader(_folder.Path, 1);
        Assert.Equal(["flakes", "peas"], Books.Of(reader, station.Name).Standing.Select(note => note.Text));
    }
}
