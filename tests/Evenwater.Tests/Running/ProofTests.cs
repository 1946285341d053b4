using Evenwater.Commands;
using Evenwater.Control;
using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Hardware.Rig;
using Evenwater.Log;
using Evenwater.Options;
using Evenwater.Running;
using Evenwater.Tests.Documents;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Running;

/// <summary>The proof test on the simulated rig, whose keeper lifts floats and wets the sensor as told; what a person answers comes from the rig's truth.</summary>
public sealed class ProofTests : IDisposable
{
    private static readonly DateTimeOffset Evening = new(2026, 1, 10, 20, 0, 0, TimeSpan.Zero);

    private readonly LogFolder _folder = new();
    private readonly List<string> _said = [];

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task With_a_drop_counter_every_part_is_seen_and_nothing_is_asked_but_what_needs_a_hand_at_the_valve()
    {
        using var log = _folder.Open();
        var lagoon = Lagoon();
        using var drive = Drive(log, lagoon);
        Assert.Equal(0, await GuideAsync(drive));
        Assert.All(drive.Loop.Proof.Last!.Parts, part => Assert.True(part is { Passed: true, Seen: true }, $"{part}"));
        Assert.Equal(ProofParts.Fitted(lagoon.Sensors), drive.Loop.Proof.Last.Parts.Select(part => part.Part));
        Assert.Equal(("Ann", Phase.Abandoned, false), (drive.Loop.Proof.Last.By, drive.Loop.State.Phase, drive.Rig.ValveOpen));
        Assert.False(drive.Loop.State.AlarmOf(AlarmId.Leak).Stands);
        log.Flush();
        Assert.Equal(drive.Loop.Proof.Last.Parts, log.Reader.LastEvent(lagoon.Name, ProofDesk.EventName)!.Proof!.Parts);
        Assert.False(log.Reader.HasEvent(lagoon.Name, "release-by")); // no animals wait in a cup
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)] // a paced valve would rest all through it
    public async Task Without_one_only_the_valve_is_asked_about_and_the_run_may_then_be_left_alone(bool paced)
    {
        using var log = _folder.Open();
        using var drive = Drive(log, DemoStation.Read() with { Pacing = paced ? new Core.Stations.Pacing { Path = PacePath.Line, OverHours = 48 } : null });
        Assert.Contains("never done", drive.Loop.Proof.WhyNotAlone(), StringComparison.Ordinal);
        Assert.True((await Directory(drive).ObeyAsync(new("proof", Note: "last"))).NeverDone);
        Assert.Equal(0, await GuideAsync(drive));
        Assert.Equal(
            [ProofPart.FloatLow, ProofPart.FloatHigh, ProofPart.Leak],
            drive.Loop.Proof.Last!.Parts.Where(part => part.Seen).Select(part => part.Part));
        Assert.Null(drive.Loop.Proof.WhyNotAlone());
        var begun = drive.Loop.Ask(new Asking(Verb.Begin, "test", new StartKnown(1.6)));
        drive.Go(2);
        Assert.True((await begun).Obeyed);
    }

    [Theory]
    [InlineData("float-stuck-dry@0s", ProofPart.FloatLow, "dry all the time", false)]
    [InlineData("float-cut@0s", ProofPart.FloatHigh, "wet all the time", false)]
    [InlineData("leak-stuck-dry@0s", ProofPart.Leak, "dry all the time", false)]
    [InlineData("driver-bridged@0s", ProofPart.DropOut, "the answer was no", true)]
    [InlineData("leaking-valve@0s", ProofPart.Closes, "the answer was no", true)]
    public async Task A_part_that_is_broken_fails_says_what_to_do_and_forbids_leaving_it_alone(string fault, ProofPart part, string why, bool opened)
    {
        using var log = _folder.Open();
        using var drive = Drive(log, DemoStation.Read(), RigFault.Parse(fault));
        Assert.Equal(1, await GuideAsync(drive));
        var failed = drive.Loop.Proof.Last!.Failed!;
        Assert.Equal((part, opened), (failed.Part, drive.EverOpen));
        Assert.Contains(why, failed.Why, StringComparison.Ordinal);
        Assert.Equal(failed, drive.Loop.Proof.Last.Parts[^1]);
        drive.Go(5);
        Assert.False(drive.Rig.ValveOpen);
        var asked = drive.Loop.Ask(new Asking(Verb.Begin, "test", new StartKnown(1.6)));
        drive.Go(2);
        var begun = await asked;
        Assert.False(begun.Obeyed);
        Assert.Contains(ProofParts.Of(part).Mend, begun.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("driver-bridged@0s", ProofPart.DropOut)]
    [InlineData("leaking-valve@0s", ProofPart.SeriesFloat)]
    public async Task A_drop_counter_sees_a_valve_that_is_broken_whatever_the_keeper_says(string fault, ProofPart part)
    {
        using var log = _folder.Open();
        using var drive = Drive(log, Lagoon(), RigFault.Parse(fault));
        Assert.Equal(1, await GuideAsync(drive));
        Assert.Equal((part, true), (drive.Loop.Proof.Last!.Failed!.Part, drive.Loop.Proof.Last.Failed.Seen));
    }

    [Theory]
    [InlineData(ProofPart.FloatHigh)]
    [InlineData(ProofPart.SeriesFloat)]
    [InlineData(ProofPart.Closes)]
    public async Task One_that_is_left_half_way_closes_and_records_nothing(ProofPart at)
    {
        using var log = _folder.Open();
        using var drive = Drive(log, DemoStation.Read());
        Assert.Equal(1, await GuideAsync(drive, leaveAt: at));
        drive.Go(20);
        Assert.Null(drive.Loop.Proof.Last);
        Assert.False(drive.Rig.ValveOpen);
        Assert.True(drive.Loop.State.Phase is Phase.Idle or Phase.Abandoned, $"{drive.Loop.State.Phase}");
        Assert.Contains("no run is under way", drive.Loop.Say.Text, StringComparison.OrdinalIgnoreCase);
        Assert.Contains("Interrupted", (await Directory(drive).ObeyAsync(new("proof", Note: "look"))).Text, StringComparison.Ordinal);
        log.Flush();
        Assert.False(log.Reader.HasEvent("sim-river", ProofDesk.EventName));
    }

    /// <summary>Ctrl-C: for ten seconds it had gone on by itself, and opened the valve with nobody there if its turn came.</summary>
    [Fact]
    public async Task One_that_is_broken_off_ends_at_once()
    {
        using var log = _folder.Open();
        using var drive = Drive(log, DemoStation.Read());
        Assert.Equal(1, await GuideAsync(drive, leaveAt: ProofPart.SeriesFloat));
        Assert.Equal(Phase.Dripping, drive.Loop.State.Phase);
        using var stop = new CancellationTokenSource();
        List<string?> asked = [];
        var guide = new ProofGuide(
            async ask =>
            {
                asked.Add(ask.Note);
                return asked.Count == 1 ? new ControlAnswer(true, "wait\nseries float\n\n") : await Directory(drive).ObeyAsync(ask);
            },
            _said.Add, () => null, stop.CancelAsync, stop.Token);
        Assert.Equal(1, await guide.RunAsync(null, "Ann"));
        Assert.Equal(["begin Ann", "stop"], asked);
        Assert.True(drive.Go(5, () => !drive.Rig.ValveOpen && drive.Loop.State.Phase == Phase.Abandoned), $"{drive.Loop.State.Phase}"); // well within the ten seconds in which nobody need look
        Assert.Null(drive.Loop.Proof.Last);
    }

    /// <summary>Wrong use, as everywhere: it had ended with 1, as if a part had failed.</summary>
    [Theory]
    [InlineData("", null)]
    [InlineData("a\nb", null)]
    [InlineData("Ann", "sim-pond")]
    public async Task A_name_that_is_none_and_a_station_that_is_none_are_wrong_use(string by, string? station)
    {
        using var log = _folder.Open();
        using var drive = Drive(log, DemoStation.Read());
        var directory = Directory(drive);
        Assert.Equal(2, await new ProofGuide(async ask => await directory.ObeyAsync(ask), _said.Add, () => null, () => Task.CompletedTask).RunAsync(station, by));
        Assert.Equal(2, _said.Count); // what it says at first, and no part
    }

    [Fact]
    public async Task An_older_pass_still_holds_after_an_interrupted_one()
    {
        using var log = _folder.Open();
        using var drive = Drive(log, DemoStation.Read());
        Assert.Equal(0, await GuideAsync(drive));
        var passed = drive.Loop.Proof.Last;
        Assert.Equal(1, await GuideAsync(drive, leaveAt: ProofPart.Leak));
        drive.Go(20);
        Assert.Same(passed, drive.Loop.Proof.Last);
    }

    [Fact]
    public async Task A_month_later_it_is_overdue_an_alarm_of_low_priority_and_the_night_may_still_be_left_alone()
    {
        using var log = _folder.Open();
        using (var drive = Drive(log, DemoStation.Read()))
        {
            Assert.Equal(0, await GuideAsync(drive));
            Assert.Contains("due again on 2026-02-09", drive.Loop.Proof.Sentence(Evening), StringComparison.Ordinal);
            log.Flush();
        }

        foreach (var (days, overdue) in new[] { (29.9, false), (30.1, true) })
        {
            using var later = Drive(log, DemoStation.Read(), wall: Evening.AddDays(days));
            later.Loop.Proof.Recall(log.Reader);
            later.Go(5);
            Assert.Equal(overdue, later.Loop.State.AlarmOf(AlarmId.ProofOverdue).Stands);
            Assert.Equal(overdue, later.Loop.Say.Text.Contains("overdue", StringComparison.Ordinal));
            Assert.Null(later.Loop.Proof.WhyNotAlone());
            var last = await Directory(later).ObeyAsync(new("proof", Note: "last"));
            Assert.Equal((!overdue, false), (last.Ok, last.NeverDone));
        }
    }

    [Fact]
    public async Task A_switch_that_was_fitted_since_was_never_tried()
    {
        using var log = _folder.Open();
        var river = DemoStation.Read();
        var without = river with { Sensors = river.Sensors with { LeakLine = null } };
        using var drive = Drive(log, without);
        Assert.Equal(0, await GuideAsync(drive));
        Assert.Contains("leak sensor was fitted since", ProofText.WhyNotAlone(drive.Loop.Proof.Last, river), StringComparison.Ordinal);
        Assert.Null(ProofText.WhyNotAlone(drive.Loop.Proof.Last, without));
    }

    [Fact]
    public async Task It_is_refused_while_a_run_is_there_and_without_a_name()
    {
        using var log = _folder.Open();
        using var drive = Drive(log, DemoStation.Read());
        Assert.Contains("Say who does it", (await Directory(drive).ObeyAsync(new("proof", Note: "begin "))).Text, StringComparison.Ordinal);
        Assert.Contains("is not one of", (await Directory(drive).ObeyAsync(new("proof", Note: "perhaps"))).Text + (await BegunAsync("perhaps")), StringComparison.Ordinal);
        Assert.Contains("is not one of", await BegunAsync("beginning"), StringComparison.Ordinal); // it began one, by "ning"
        drive.Go(20);
        drive.Begin();
        Assert.Contains("has a run", (await Directory(drive).ObeyAsync(new("proof", Note: "begin Ann"))).Text, StringComparison.Ordinal);

        async Task<string> BegunAsync(string then)
        {
            _ = await Directory(drive).ObeyAsync(new("proof", Note: "begin Ann"));
            return (await Directory(drive).ObeyAsync(new("proof", Note: then))).Text;
        }
    }

    [Fact]
    public async Task An_opening_that_comes_as_a_test_is_interrupted_is_refused_and_nothing_opens()
    {
        using var log = _folder.Open();
        using var drive = Drive(log, DemoStation.Read());
        Assert.Equal(1, await GuideAsync(drive, leaveAt: ProofPart.SeriesFloat));
        Assert.Equal(Phase.Dripping, drive.Loop.State.Phase);
        var said = "";
        Assert.True(drive.Go(20, () =>
        {
            var asked = drive.Loop.Ask(new Asking(Verb.Begin, "test", new StartKnown(1.6, Attended: true)));
            said = asked.IsCompletedSuccessfully ? asked.Result.Text : "";
            return said.Contains("somebody asked to close", StringComparison.Ordinal);
        }));
        Assert.True(drive.Go(5, () => !drive.Rig.ValveOpen));
        Assert.False(drive.Go(60, () => drive.CommitAnd(drive.Rig.ValveOpen)));
        Assert.Equal(Phase.Abandoned, drive.Loop.State.Phase);
    }

    [Theory]
    [InlineData(ProofPart.Opens, Phase.Armed)]
    [InlineData(ProofPart.SeriesFloat, Phase.Dripping)]
    [InlineData(ProofPart.Closes, Phase.Holding)]
    public async Task A_restart_in_the_midst_of_one_ends_its_run_closed_and_says_so_though_runs_may_go_on_by_themselves(ProofPart at, Phase phase)
    {
        using var log = _folder.Open();
        var river = DemoStation.Read();
        river = river with { Safety = river.Safety with { ResumeAfterRestart = true } };
        using var drive = Drive(log, river);
        Assert.Equal(1, await GuideAsync(drive, leaveAt: at));
        Assert.True(drive.Go(5, () => drive.Loop.State.Phase == phase));
        log.Flush();
        drive.Dispose();

        var started = drive.Now.Plus(20);
        var again = Restart.Of(log, river, new FixedTime(Evening.AddSeconds(started.Seconds)));
        Assert.Equal(phase, again.State.Phase);
        using var later = new RigDrive(drive.Rig, again.State, log, started, Evening.AddSeconds(started.Seconds));
        later.Loop.Recall(log.Reader);
        again.Ask(later.Loop, log.Reader.LastObeyed(river.Name, "begin")?.By);
        Assert.False(later.Go(90, () => later.CommitAnd(later.EverOpen)));
        Assert.Equal((Phase.Abandoned, null), (later.Loop.State.Phase, later.Loop.Proof.Last));
        Assert.True(log.Reader.HasEvent(river.Name, ProofDesk.CutShort));
        Assert.Contains("started again in the midst of the proof test. The valve is closed", (await Directory(later).ObeyAsync(new("proof", Note: "look"))).Text, StringComparison.Ordinal);
        Assert.Contains("never done", (await later.Loop.Ask(new Asking(Verb.Begin, "test", new StartKnown(1.6)))).Text, StringComparison.Ordinal);
    }

    private static Station Lagoon()
    {
        var read = StationFile.Read(Path.Combine(Repository.Root, "config", "stations", "sim-lagoon.json")).Station!;
        Assert.NotNull(read.Sensors.DropCounterLine);
        return read;
    }

    private static StationDirectory Directory(RigDrive drive)
    {
        var directory = new StationDirectory();
        directory.Set(drive.Loop);
        return directory;
    }

    private static RigDrive Drive(NightLog log, Station station, RigFault? fault = null, DateTimeOffset? wall = null)
    {
        var rig = new SimulatedRig(station, 1, fault is { } f ? [f] : []);
        var drive = new RigDrive(rig, new StationState(station), log, MonotonicTime.FromSeconds(1), wall ?? Evening, hands: true);
        drive.Go(5);
        return drive;
    }

    /// <summary>
    /// The guide as on a terminal, with the rig's time passing between its looks. Asked, the keeper says what the rig truly does.
    /// </summary>
    private async Task<int> GuideAsync(RigDrive drive, ProofPart? leaveAt = null)
    {
        var directory = Directory(drive);
        var (asks, part, left) = (false, "", false);
        var since = drive.Now;
        var everShut = false;
        var guide = new ProofGuide(
            async ask =>
            {
                if (left)
                {
                    return new ControlAnswer(false, "the keeper has left");
                }

                var answered = await directory.ObeyAsync(ask);
                var lines = answered.Text.Split('\n');
                if (lines.Length > 1 && lines[1] != part)
                {
                    (part, since, everShut) = (lines[1], drive.Now, false);
                }

                asks = lines[0] == "ask";
                left = leaveAt is { } leave && part == ProofParts.Of(leave).Name;
                return answered;
            },
            _said.Add,
            () => asks ? Truth(drive, part, everShut, since) : null,
            () =>
            {
                drive.Go(0.5, () => drive.CommitAnd(false) && drive.Now.Seconds < 0);
                everShut |= !drive.Rig.ValveOpen;
                return Task.CompletedTask;
            });
        return await guide.RunAsync(null, "Ann");
    }

    private static bool? Truth(RigDrive drive, string part, bool everShut, MonotonicTime since) => part switch
    {
        "pulse drop-out" => everShut ? true : drive.Now.SecondsSince(since) > 12 ? false : null,
        "valve closes" => drive.Rig.InflowMillilitresPerMinute == 0,
        "valve opens" => drive.Rig.InflowMillilitresPerMinute > 0,
        _ => true,
    };
}
