using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;
using Evenwater.Hardware.Rig;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;
using Microsoft.Data.Sqlite;

namespace Evenwater.Tests.Running;

/// <summary>A worn card gives back an entry about an alarm that is no longer what was written. One bad entry of last year must not keep the station from being watched.</summary>
public sealed class DamagedAlarmTests : IDisposable
{
    private static readonly DateTimeOffset Evening = new(2026, 1, 10, 20, 0, 0, TimeSpan.Zero);

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("{\"name\":\"probe-trouble\",\"state\":7x")] // no JSON any more
    [InlineData("{\"name\":\"probe-trouble\",\"state\":\"umacknowledged\"}")] // JSON, and none of ours
    public void The_start_goes_on_tripped_until_a_reset_came_after_it_and_the_other_alarms_stand(string spoilt)
    {
        using var log = _folder.Open();
        var station = DemoStation.Read();
        using (var drive = new RigDrive(new SimulatedRig(station, 1, []), new StationState(station), log, MonotonicTime.FromSeconds(1), Evening.AddSeconds(1)))
        {
            drive.Begin();
            log.Flush();
        }

        var run = log.Reader.Last(station.Name, EntryKind.Run)! with { Kind = EntryKind.Alarm };
        var bad = log.Append(run with { Body = LogJson.Write(Standing("probe-trouble")) });
        log.Append(run with { Body = LogJson.Write(Standing("drip-slow")) });
        log.Flush();
        Assert.Equal((Phase.Dripping, null), Started());

        Spoil(bad, spoilt);
        var (phase, told) = Started();
        Assert.Equal(Phase.Tripped, phase);
        Assert.Contains($"entry {bad}, about an alarm, can not be read. It may have told of water", told, StringComparison.Ordinal);

        log.Append(run with { Kind = EntryKind.Run, Body = LogJson.Write(new RunBody("holding", "reset")) });
        log.Append(run with { Kind = EntryKind.Command, Body = LogJson.Write(new CommandBody("reset", "socket", true, "")) });
        log.Flush();
        (phase, told) = Started();
        Assert.Equal(Phase.Holding, phase);
        Assert.DoesNotContain("tripped", told, StringComparison.Ordinal);

        (Phase Phase, string? Told) Started()
        {
            var again = Restart.Of(log, station, new FixedTime(Evening.AddHours(1)));
            Assert.Equal(AlarmStanding.Unacknowledged, again.State.AlarmOf(AlarmId.DripSlow).Standing);
            var recorder = new Recorder(log, new RunNumbers(1), again.Clock, station.Name, log.StartBoot("test", simulated: true), log.Configure(station));
            var said = Restart.LatchDamaged(log, again.State, recorder, again.Clock.Now);
            log.Flush();
            return (again.State.Phase, said);
        }
    }

    [Fact]
    public void What_is_asked_of_the_events_is_answered_though_one_of_them_is_damaged()
    {
        using var log = _folder.Open();
        var night = new Night(log);
        night.Add(EntryKind.Event, new EventBody("proof-test", "first"));
        var bad = night.Add(EntryKind.Event, new EventBody("proof-test", "second"));
        log.Flush();
        Spoil(bad, "{\"name\":\"proof-te");
        Assert.Equal("first", log.Reader.LastEvent("sim-river", "proof-test")?.Text);
        Assert.False(log.Reader.HasEvent("sim-river", "cautions-read"));

        // Who asked last is another matter: the damaged command may have been it.
        night.Add(EntryKind.Command, new CommandBody("begin", "ann", true, ""));
        var command = night.Add(EntryKind.Command, new CommandBody("begin", "proof test", true, ""));
        log.Flush();
        Assert.Equal("proof test", log.Reader.LastObeyed("sim-river", "begin")?.By);
        Spoil(command, "{\"verb\":\"begin");
        Assert.ThrowsAny<System.Text.Json.JsonException>(() => log.Reader.LastObeyed("sim-river", "begin"));
    }

    private static AlarmBody Standing(string name) => new(name, AlarmStanding.Unacknowledged, Priority.Medium, "x", "y", "z") { Consequence = "c", Since = Evening };

    private void Spoil(long id, string body)
    {
        using var other = new SqliteConnection($"Data Source={_folder.File};Pooling=False");
        other.Open();
        using var spoil = other.CreateCommand();
        spoil.CommandText = "UPDATE entry SET body = $body WHERE id = $id";
        spoil.Parameters.AddWithValue("$body", body);
        spoil.Parameters.AddWithValue("$id", id);
        Assert.Equal(1, spoil.ExecuteNonQuery());
    }
}
