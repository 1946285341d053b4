using System.Text.Json;
using Evenwater.Commands;
using Evenwater.Control;
using Evenwater.Core;
using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;
using Evenwater.Exporting;
using Evenwater.Followers;
using Evenwater.Hardware.Rig;
using Evenwater.Keeping;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;
using Evenwater.Tests.Running;

namespace Evenwater.Tests.Keeping;

/// <summary>The daemon's pen, what is due, and what others are told of the book.</summary>
public sealed class NoteDeskTests : IDisposable
{
    private static readonly DateTimeOffset Evening = LogFolder.Evening;

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task A_note_is_on_the_disk_when_it_is_answered_once_however_often_it_comes_and_never_when_it_is_refused()
    {
        using var log = _folder.Open();
        using var drive = Drive(log);
        using var desk = Desk(log, drive);
        var fed = new Note { Kind = NoteKind.Feed, By = "phone", Text = "flakes" };
        Assert.Equal((true, "Written as n1 into the book of sim-river: feed."), Said(await desk.WriteAsync("river", fed)));
        Assert.Single(log.Reader.Notes("sim-river"));
        Assert.Equal((true, "It stands in the book of sim-river already, as n1: it was written just now."), Said(await desk.WriteAsync(null, fed)));
        Assert.Equal((true, "Written as n2 into the book of sim-river: feed."), Said(await desk.WriteAsync("river", fed with { Text = "peas" })));
        var refused = await desk.WriteAsync("river", fed with { Litres = 2 });
        var (ok, why) = Said(refused);
        Assert.False(ok);
        Assert.Contains("litres: 2. Allowed: none with feed", why, StringComparison.Ordinal);
        Assert.Equal((false, true), (await desk.WriteAsync("lagoon", fed)) is { Ok: var found, NotUnderstood: var unknown } ? (found, unknown) : default);
        Assert.Equal((false, true), (await desk.WriteAsync("river", null)) is { Ok: var nothing, NotUnderstood: var empty } ? (nothing, empty) : default);
        Assert.Equal(["n1", "n2"], Books.Of(log.Reader, "sim-river").Standing.Select(note => note.Id));

        // The exit code over the socket: wrong use, as it is without a daemon.
        Assert.Equal([Exit.WrongUse, Exit.WrongUse, Exit.Fine], new[] { refused, await desk.WriteAsync("lagoon", fed), await desk.WriteAsync("river", fed) }.Select(answer => AskCommands.Told(OverTheSocket(answer))));
    }

    private static ControlAnswer OverTheSocket(ControlAnswer answer) => JsonSerializer.Deserialize<ControlAnswer>(JsonSerializer.Serialize(answer, ControlJson.Options), ControlJson.Options)!;

    [Fact]
    public async Task Notes_that_wait_for_the_disk_have_names_of_their_own_and_are_written_once()
    {
        using var log = _folder.Open();
        using var drive = Drive(log);
        using var desk = Desk(log, drive);
        var (fed, arrived) = (new Note { Kind = NoteKind.Feed, By = "phone", Text = "flakes" }, new Note { Kind = NoteKind.Arrival, By = "Ann", Arrival = new() { Species = "snails", Count = 6 } });
        using (Held())
        {
            foreach (var note in new[] { fed, arrived, fed })
            {
                var (ok, text) = Said(await desk.WriteAsync("river", note));
                Assert.False(ok);
                Assert.Contains("The note waits in memory", text, StringComparison.Ordinal);
            }
        }

        log.Flush();
        Assert.Equal((true, "Written as n3 into the book of sim-river: feed."), Said(await desk.WriteAsync("river", fed with { Text = "peas" })));
        Assert.Equal([("n1", "flakes"), ("n2", ""), ("n3", "peas")], Books.Notes(log.Reader, "sim-river").Select(note => (note.Id, note.Text)));
    }

    [Fact]
    public async Task What_had_to_wait_for_the_disk_holds_as_soon_as_it_is_written()
    {
        using var log = _folder.Open();
        var station = DemoStation.Read() with { Routine = [new() { Kind = Chore.WaterChange, DueEveryDays = 7 }] };
        using var drive = new RigDrive(new SimulatedRig(station, 1, []), new StationState(station), log, MonotonicTime.FromSeconds(1), Evening);
        var applied = new TaskCompletionSource();
        using var desk = new NoteDesk(log, Door(drive)) { Calibrated = name => { applied.SetResult(); return $"{name}: from now on."; } };
        await desk.WriteAsync(null, new Note { Kind = NoteKind.WaterChange, By = "Ann", Litres = 60, At = Evening.AddDays(-8) });
        await desk.WriteAsync(null, new Note { Kind = NoteKind.Other, By = "Ann", Text = "as it was" });
        Assert.True(drive.Loop.Routine.IsOverdue(drive.Now));
        using (Held())
        {
            Assert.False((await desk.WriteAsync(null, new Note { Kind = NoteKind.WaterChange, By = "Ann", Litres = 60, At = Evening })).Ok);
            var calibrated = await desk.WriteAsync(null, Celled);
            Assert.False(calibrated.Ok);
            Assert.Contains("The note waits in memory", calibrated.Text, StringComparison.Ordinal);
            Assert.True(drive.Loop.Routine.IsOverdue(drive.Now));
            Assert.False(applied.Task.IsCompleted);
        }

        await applied.Task.WaitAsync(TimeSpan.FromSeconds(10), TestContext.Current.CancellationToken);
        Assert.False(drive.Loop.Routine.IsOverdue(drive.Now));
    }

    [Fact]
    public async Task What_is_found_at_the_release_is_of_the_run_and_of_the_animals_that_it_names()
    {
        using var log = _folder.Open();
        using var drive = Drive(log);
        using var desk = Desk(log, drive);
        foreach (var species in new[] { "rice fish", "snails" })
        {
            await desk.WriteAsync("river", new Note { Kind = NoteKind.Arrival, By = "Ann", Arrival = new() { Species = species, Count = 6 } });
        }

        drive.Go(3);
        _ = drive.Loop.Ask(new Asking(Verb.Begin, "test", new StartKnown(Attended: true) { Animals = new Animals(6, 3, "n1") }));
        Assert.True(drive.Go(30, () => drive.CommitAnd(drive.Rig.ValveOpen)));
        await desk.WriteAsync("river", new Note { Kind = NoteKind.Arrival, Corrects = "n1", By = "Ann", Arrival = new() { Species = "rice fish", Count = 7 } });
        foreach (var (said, own, run) in new (string?, string, long?)[] { (null, "n1", 1), ("n3", "n1", 1), ("n2", "n2", null) })
        {
            await desk.WriteAsync("river", new Note { Kind = NoteKind.Outcome, By = "Ann", Text = $"said {said}", Outcome = new() { Arrival = said, Look = Look.Release, Alive = 6 } });
            var noted = Books.Notes(log.Reader, "sim-river").Last();
            Assert.Equal(new OutcomeRecord { Arrival = own, Run = run, Look = Look.Release, Alive = 6 }, noted.Outcome);
            await desk.WriteAsync("river", new Note { Kind = NoteKind.Outcome, Corrects = noted.Id, Withdrawn = true, By = "Ann" }); // they are let in once
        }
    }

    [Fact]
    public void A_look_that_is_due_is_an_alarm_until_it_is_noted()
    {
        using var log = _folder.Open();
        var night = new Night(log);
        night.Add(EntryKind.Note, new NoteBody(new Note { Id = "n1", Kind = NoteKind.Arrival, By = "Ann", At = Evening, Arrival = new() { Species = "snails", Count = 6 } }));
        night.Add(EntryKind.Note, new NoteBody(Looked("n2", Look.Release, 1)));
        log.Flush();
        Assert.False(DueLooks.Any(log.Reader, "sim-river", Evening.AddHours(24)));
        Assert.True(DueLooks.Any(log.Reader, "sim-river", Evening.AddHours(26)));
        Assert.False(DueLooks.Any(log.Reader, "sim-river", null));
        using var drive = Drive(log);
        drive.Loop.OutcomeDue = true;
        drive.Go(3);
        Assert.True(drive.Loop.State.AlarmOf(Evenwater.Core.Alarms.AlarmId.OutcomeDue).Stands);
        drive.Loop.OutcomeDue = false;
        drive.Go(3);
        Assert.False(drive.Loop.State.AlarmOf(Evenwater.Core.Alarms.AlarmId.OutcomeDue).Active);
        night.Add(EntryKind.Note, new NoteBody(Looked("n3", Look.Day, 26)));
        log.Flush();
        Assert.False(DueLooks.Any(log.Reader, "sim-river", Evening.AddHours(27)));
    }

    [Fact]
    public void The_book_goes_into_exports_and_comes_back_from_a_complete_one()
    {
        using var log = _folder.Open();
        new Night(log).Add(EntryKind.Note, new NoteBody(new Note { Id = "n1", Kind = NoteKind.WaterChange, By = "Ann", Text = "half, \"tap\"", Litres = 20, At = Evening }));
        log.Flush();
        using var lines = new StringWriter();
        LogExport.Run(log.Reader, ExportAsk.All, new LineExport(lines, null), _ => { });
        Assert.Contains("event,kind=note,", lines.ToString(), StringComparison.Ordinal);
        using var whole = new StringWriter();
        LogExport.Run(log.Reader, ExportAsk.All, new WholeLogExport(whole, LogOrigin.Read(_folder.Path, 1), new Evenwater.Photographs.PhotographFolder(_folder.Path)), _ => { });
        var copy = Path.Combine(_folder.Path, "copy");
        LogImport.Run(new StringReader(whole.ToString()), copy, _ => { });
        using var again = new LogReader(copy, 1);
        Assert.Equal(Books.Notes(log.Reader, "sim-river"), Books.Notes(again, "sim-river"));
        Assert.True(MqttMessages.IsEvent(log.Reader.Read(0, 10).Single(e => e.Kind == EntryKind.Note)));
    }

    private static (bool Ok, string Text) Said(Evenwater.Control.ControlAnswer answer) => (answer.Ok, answer.Text);

    private static Note Looked(string id, Look look, double hours) =>
        new() { Id = id, Kind = NoteKind.Outcome, By = "Ann", At = Evening.AddHours(hours), Outcome = new() { Arrival = "n1", Look = look, Alive = 6, Dead = 0 } };

    private static RigDrive Drive(NightLog log)
    {
        var station = DemoStation.Read();
        return new RigDrive(new SimulatedRig(station, 1, []), new StationState(station), log, MonotonicTime.FromSeconds(1), Evening);
    }

    private static Note Celled => new()
    {
        Kind = NoteKind.Calibration, By = "Ann",
        Calibration = new("vessel-conductivity", Evening, "Ann", "", [new("sensors.vesselConductivity.cellConstantPerCm", "1/cm", 1, 0.98, 0.01)], Evening.AddDays(90)),
    };

    private static NoteDesk Desk(NightLog log, RigDrive drive) => new(log, Door(drive));

    private static StationDirectory Door(RigDrive drive)
    {
        var directory = new StationDirectory();
        directory.Set(drive.Loop);
        return directory;
    }

    /// <summary>The log's file, held by another process until it is let go.</summary>
    private Microsoft.Data.Sqlite.SqliteConnection Held()
    {
        var other = new Microsoft.Data.Sqlite.SqliteConnection($"Data Source={_folder.File};Pooling=False");
        other.Open();
        using var hold = other.CreateCommand();
        hold.CommandText = "BEGIN IMMEDIATE";
        hold.ExecuteNonQuery();
        return other;
    }
}
