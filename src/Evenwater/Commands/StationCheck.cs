using Evenwater.Calibrating;
using Evenwater.Control;
using Evenwater.Core;
using Evenwater.Core.Keeping;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Hardware;
using Evenwater.Log;
using Evenwater.Options;
using Evenwater.Running;
using Microsoft.Data.Sqlite;

namespace Evenwater.Commands;

/// <summary>The stations' part of the check: every probe's answer, proof test and calibrations; from the daemon that runs them, else by asking the devices.</summary>
internal static class StationCheck
{
    /// <param name="findings">Where it is told.</param>
    /// <param name="stations">The stations.</param>
    /// <param name="demo">Whether it is the demo's.</param>
    public static async Task TellAsync(CheckList findings, IReadOnlyList<Station> stations, bool demo)
    {
        var socket = Places.Socket(Places.State(demo));
        if (await ControlClient.AskAsync(socket, new ControlAsk("status")) is { } running)
        {
            findings.Judge(running.Ok, "daemon", running.Text);
            foreach (var station in stations)
            {
                if (await ControlClient.AskAsync(socket, new ControlAsk("readings", station.Name)) is { } read)
                {
                    Probes(findings, Answers(station, read));
                }

                if (ServedFile.Otherwise(station, (await ControlClient.AskAsync(socket, new ControlAsk("phase", station.Name)))?.Served) is { } otherwise)
                {
                    findings.Judge(false, station.Name, otherwise);
                }

                if (await ControlClient.AskAsync(socket, new ControlAsk("proof", station.Name, Note: "last")) is { } proof)
                {
                    Proof(findings, station, proof.NeverDone ? null : proof.Ok, proof.Text);
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
            Proof(findings, station, last is null ? null : ProofText.WhyNotAlone(last, station) is null && last.DueAt(station) >= now, ProofText.Of(last, station, now));
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

    /// <summary>What the daemon that runs says of the station's probes, or why it says nothing of them.</summary>
    private static IEnumerable<(bool? Good, string What, string Text)> Answers(Station station, ControlAnswer read) => read switch
    {
        { Ok: true, Readings: { } all } => ProbeAnswers.Wrong(station, ControlReading.Back(all)),
        { NoSuchStation: true } => [(false, station.Name, $"There is no station {station.Name} here. The daemon that runs was started with another configuration: start it anew.")],
        _ => [(false, station.Name, read.Text)],
    };

    private static void Probes(CheckList findings, IEnumerable<(bool? Good, string What, string Text)> answers)
    {
        foreach (var (good, what, text) in answers)
        {
            findings.Judge(good, what, text);
        }
    }

    /// <summary>One that was never done is no fault: who stays beside the station needs none.</summary>
    private static void Proof(CheckList findings, Station station, bool? good, string text) => findings.Judge(good, $"{station.Name}, proof test", text);

    /// <summary>One that was never made is no fault: the station file has a value.</summary>
    private static void Calibrated(CheckList findings, Station station)
    {
        var due = Calibrations.Due(Calibrations.Standing(BookOf(station)));
        foreach (var probe in CalibratedProbe.All.Where(p => p.Fitted(station)))
        {
            var (good, text) = CalibrationText.Standing(station.Name, probe, due, TimeProvider.System.GetUtcNow());
            findings.Judge(good, $"{station.Name}, calibration of {probe.Name}", text);
        }
    }

    /// <summary>What can not be read counts as never written; that the log can not be read is told elsewhere.</summary>
    private static Book? BookOf(Station station)
    {
        try
        {
            return PenAndPaper.BookOf(station.Name).Book;
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
