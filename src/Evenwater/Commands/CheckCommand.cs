using System.CommandLine;
using Evenwater.Calibrating;
using Evenwater.Control;
using Evenwater.Core;
using Evenwater.Core.Keeping;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Followers;
using Evenwater.Hardware;
using Evenwater.Log;
using Evenwater.Options;
using Evenwater.Running;
using Microsoft.Data.Sqlite;

namespace Evenwater.Commands;

/// <summary>evenwater check: configuration, state folder, store, clock, stations and probes, each with what to do about it.</summary>
internal static class CheckCommand
{
    private const long LeastFreeBytes = 200L * 1024 * 1024;

    public static Command Create()
    {
        var config = new Option<string?>("--config") { Description = "the configuration file" };
        var proof = new Option<bool>("--proof") { Description = "the proof test: floats, leak sensor and valve tried by hand, step by step; the program watches, and the log keeps what came of it" };
        var by = new Option<string?>("--by") { Description = "with --proof: who does it; the user's name if not said", HelpName = "NAME" };
        var station = new Option<string?>("--station") { Description = "with --proof: which station, when there are several" };
        var command = new Command("check", "Check configuration, permissions, disk, clock, store, and every probe's answer.") { config, proof, station, by };
        command.SetAction((parse, _) => parse.GetValue(proof)
            ? ProofGuide.OnTerminalAsync(parse.GetValue(station), parse.GetValue(by) ?? Environment.UserName)
            : RunAsync(parse.GetValue(config)));
        return command;
    }

    private static async Task<int> RunAsync(string? given)
    {
        var findings = new CheckList();
        var path = Places.Configuration(given);
        IReadOnlyList<Station> stations = [];
        FollowerPlan? plan = null;
        if (path is null)
        {
            findings.Note("configuration", "none: serve would run the simulated demo");
            stations = [DemoStation.Read()];
        }
        else
        {
            var reading = MainFile.Read(path, serving: false);
            if (reading.Configuration is null || reading.Problems.Count > 0)
            {
                return Exit.Wrong(path, reading.Problems);
            }

            findings.Good("configuration", path);
            stations = reading.Stations;
            plan = MainFile.Followers(reading.Configuration);
            findings.Secrets(reading.Configuration);
            await findings.UnitAsync(reading.Configuration, stations.Any(s => s.Sensors.Source == SensorSource.Board));
        }

        foreach (var station in stations)
        {
            var refusals = Unattended.Refusals(station);
            findings.Judge(refusals.Count == 0, $"{station.Name}, left alone", refusals.Count == 0
                ? $"what could siphon ({Unattended.SiphonLitres(station.Source):0.0} L) fits"
                : string.Join(" ", refusals.Select(r => $"{r.Key}: {r.Allowed}. {r.Advice}")));
        }

        foreach (var (what, text) in stations.SelectMany(FrontEndReach.TooShort))
        {
            findings.Judge(false, what, text);
        }

        try
        {
            CheckState(findings, demo: path is null);
            await LogCheck.TellAsync(findings, Places.State(demo: path is null), plan, [.. stations.Select(s => s.Name)]);
            await CheckStationsAsync(findings, stations, demo: path is null);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            findings.Judge(false, "state folder", e.Message);
        }

        return findings.Tell();
    }

    private static void CheckState(CheckList findings, bool demo)
    {
        var state = Places.MakeState(demo);
        var mode = File.GetUnixFileMode(state);
        findings.Judge((mode & (UnixFileMode.OtherRead | UnixFileMode.OtherWrite | UnixFileMode.GroupWrite)) == 0, "state folder",
            $"{state}, for {((mode & (UnixFileMode.OtherRead | UnixFileMode.OtherWrite | UnixFileMode.GroupWrite)) == 0 ? "its owner alone" : "others too: chmod 700 it")}");
        var free = new DriveInfo(state).AvailableFreeSpace;
        findings.Judge(free > LeastFreeBytes, "disk", $"{free / 1024 / 1024} MiB free, at least {LeastFreeBytes / 1024 / 1024} wanted");
        using var connection = new SqliteConnection();
        var version = connection.ServerVersion;
        findings.Judge(Version.Parse(version) >= new Version(3, 51, 3), "store", $"SQLite {version}, at least 3.51.3 wanted");
        var clock = StationClock.Real(default, TimeProvider.System);
        findings.Judge(clock.Quality != ClockQuality.Unsynced, "clock", $"{clock.Quality}; control needs no clock, labels do");
    }

    private static async Task CheckStationsAsync(CheckList findings, IReadOnlyList<Station> stations, bool demo)
    {
        if (await ControlClient.AskAsync(Places.Socket(Places.State(demo)), new ControlAsk("status")) is { } running)
        {
            findings.Judge(running.Ok, "daemon", running.Text);
            foreach (var station in stations)
            {
                if (await ControlClient.AskAsync(Places.Socket(Places.State(demo)), new ControlAsk("readings", station.Name)) is { } read)
                {
                    Probes(findings, read is { Ok: false, Readings: not null } ? [(false, station.Name, read.Text)] : read.Readings is { } all ? ProbeAnswers.Wrong(station, ControlReading.Back(all)) : [(false, station.Name, $"{read.Text} The daemon that runs was started with another configuration: start it anew.")]);
                }

                if (await ControlClient.AskAsync(Places.Socket(Places.State(demo)), new ControlAsk("proof", station.Name, Note: "last")) is { } proof)
                {
                    Proof(findings, station, proof.Ok, proof.Text);
                }

                Calibrated(findings, station);
            }

            return;
        }

        findings.Note("daemon", "not running here; probes are asked directly");
        using var held = StateLock.Take(Places.State(demo), out var holder);
        if (held is null)
        {
            findings.Judge(false, "hardware", $"in use by {holder}, which does not answer its socket");
            return;
        }

        foreach (var station in demo ? [] : stations)
        {
            var last = LastProof(station.Name);
            var now = TimeProvider.System.GetUtcNow();
            Proof(findings, station, ProofText.WhyNotAlone(last, station) is null && last!.DueAt(station) >= now, ProofText.Of(last, station, now));
            Calibrated(findings, station);
        }

        foreach (var station in stations.Where(s => s.Sensors.Source == SensorSource.Board))
        {
            try
            {
                using var devices = StationDevices.OnBoard(station.Sensors);
                var (raw, looked) = (RawSamples.None(), default(MonotonicTime));
                devices.ReadProbes(looked, ref raw);
                if (station.Sensors.Light is not null)
                {
                    // It gives what the look before began to measure.
                    await Task.Delay(TimeSpan.FromSeconds(2 * LightSensor.MeasurementSeconds));
                    looked = MonotonicTime.FromSeconds(1);
                    devices.ReadProbes(looked, ref raw);
                }

                devices.PollSwitches(looked, ref raw);
                raw[Channel.Drops] = devices.TakeDrops(looked);
                findings.Good(station.Name, devices.Description);
                Probes(findings, ProbeAnswers.Of(CalibratedStation.Of(station, BookOf(station)).Station, raw, looked));
            }
            catch (Exception e) when (LateDevices.IsMissing(e))
            {
                findings.Judge(false, station.Name, e.Message);
            }
        }
    }

    private static void Probes(CheckList findings, IEnumerable<(bool? Good, string What, string Text)> answers)
    {
        foreach (var (good, what, text) in answers)
        {
            if (good is { } told)
            {
                findings.Judge(told, what, text);
            }
            else
            {
                findings.Note(what, text);
            }
        }
    }

    /// <summary>One that was never done is no fault: who stays beside the station needs none.</summary>
    private static void Proof(CheckList findings, Station station, bool good, string text)
    {
        if (text.StartsWith(ProofText.Never, StringComparison.Ordinal))
        {
            findings.Note($"{station.Name}, proof test", text);
        }
        else
        {
            findings.Judge(good, $"{station.Name}, proof test", text);
        }
    }

    /// <summary>One that was never made is no fault: the station file has a value.</summary>
    private static void Calibrated(CheckList findings, Station station)
    {
        var due = Calibrations.Due(Calibrations.Standing(BookOf(station)));
        foreach (var probe in CalibratedProbe.All.Where(p => p.Fitted(station)))
        {
            var (good, text) = CalibrationText.Standing(station.Name, probe, due, TimeProvider.System.GetUtcNow());
            if (good is { } told)
            {
                findings.Judge(told, $"{station.Name}, calibration of {probe.Name}", text);
            }
            else
            {
                findings.Note($"{station.Name}, calibration of {probe.Name}", text);
            }
        }
    }

    /// <summary>What can not be read counts as never written; that the log can not be read is told elsewhere.</summary>
    private static Book? BookOf(Station station)
    {
        try
        {
            return PenAndPaper.Book(station.Name).Book;
        }
        catch (Exception e) when (e is SqliteException or LogUnusableException)
        {
            return null;
        }
    }

    private static ProofRecord? LastProof(string station)
    {
        try
        {
            using var log = new LogReader(Places.State(demo: false), busySeconds: 2);
            return log.LastEvent(station, ProofDesk.EventName)?.Proof;
        }
        catch (Exception e) when (e is SqliteException or LogUnusableException)
        {
            return null; // what can not be read counts as never done
        }
    }
}
