using Evenwater.Calibrating;
using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Core.Keeping;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Hardware.Rig;
using Evenwater.Keeping;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;
using Evenwater.Tests.Running;
using Microsoft.Extensions.Logging.Abstractions;

namespace Evenwater.Tests.Calibrating;

/// <summary>A calibration in the book of a running station: in force at once or after the run, replayed as it was, and taken back.</summary>
public sealed class CalibrationInForceTests : IDisposable
{
    private const string Constant = "sensors.vesselConductivity.cellConstantPerCm";
    private static readonly Station River = DemoStation.Read();
    private static readonly DateTimeOffset Evening = LogFolder.Evening;

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task It_holds_from_the_next_turn_on_and_until_it_is_taken_back()
    {
        using var log = _folder.Open();
        using var drive = new RigDrive(new SimulatedRig(River, 1, []), new StationState(River), log, MonotonicTime.FromSeconds(1), Evening);
        drive.Go(60);
        var (directory, desk) = Desks(log, drive);
        using var notes = new NoteDesk(log, directory) { Calibrated = desk.Apply };
        var written = await notes.WriteAsync(null, Note(1.2));
        Assert.EndsWith("What stands is in force from now on.", written.Text, StringComparison.Ordinal);
        var before = Mean(drive);
        drive.Go(2);
        Assert.Equal(1.2, Ratio(drive), 1e-9);
        drive.Go(60);
        Assert.Equal(1.2, Mean(drive) / before, 0.02); // no jump of the water: the first reading counts
        Assert.Contains(drive.Loop.CalibrationsDue, due => due.Probe == "vessel-conductivity" && due.Due == Evening.AddDays(90));

        var back = await notes.WriteAsync(null, new Note { Kind = NoteKind.Calibration, Corrects = "n1", Withdrawn = true, By = "Ann" });
        Assert.True(back.Ok, back.Text);
        drive.Go(2);
        Assert.Equal(1, Ratio(drive), 1e-9);
        log.Flush();
        var told = log.Reader.LastEvent(River.Name, "calibration-in-force")!.Text;
        Assert.Contains($"{Constant} 1.2 → 1 1/cm", told, StringComparison.Ordinal);
    }

    /// <summary>A computer without a clock of its own starts with a time of before the last power cut, or one that was wrong is set right.</summary>
    [Fact]
    public async Task The_one_that_was_written_last_holds_whatever_the_clock_said_then()
    {
        using var log = _folder.Open();
        using var drive = new RigDrive(new SimulatedRig(River, 1, []), new StationState(River), log, MonotonicTime.FromSeconds(1), Evening);
        drive.Go(3);
        var (directory, desk) = Desks(log, drive);
        using var notes = new NoteDesk(log, directory) { Calibrated = desk.Apply };
        Assert.True((await notes.WriteAsync(null, Note(1.2) with { At = Evening })).Ok);
        Assert.True((await notes.WriteAsync(null, Note(1.1) with { At = Evening.AddHours(-3) })).Ok);
        drive.Go(2);
        Assert.Equal(1.1, Ratio(drive), 1e-9);
        Assert.Equal(1.1, desk.InForce(River).Station.Sensors.VesselConductivity.CellConstantPerCm);
    }

    /// <summary>By hand: 0.25 °C uncalibrated (±0.5 °C of the data sheet, halved), 0.1 by a good one, 0.05 for another temperature, 0.02 between two in one cup.</summary>
    [Theory]
    [InlineData("", 0.25)]
    [InlineData("tank", 0.1118)]
    [InlineData("both", 0.2508)] // beside one that nobody calibrated: sqrt(0.02² + 0.25²)
    [InlineData("vessel both", 0.1136)] // sqrt(0.02² + 0.1² + 0.05²)
    [InlineData("both vessel", 0.2508)] // what the vessel's is worth since does not mend what was set before
    [InlineData("both tank", 0.1118)]
    public void A_thermometer_that_was_set_by_another_is_known_no_better_than_that_one(string made, double sd)
    {
        CalibrationRecord Made(string which, int day) => new(which == "both" ? which : $"{which}-thermometer", Evening.AddDays(day), "Ann", "",
            [new($"sensors.{(which == "vessel" ? which : "tank")}ThermometerOffsetCelsius", "°C", 0, 0.1, which == "both" ? 0.02 : 0.1)], Evening.AddDays(400));
        var standing = made.Split(' ', StringSplitOptions.RemoveEmptyEntries).Select(Made).ToList();
        Assert.Equal(sd, Calibrations.CelsiusSd(standing, vessel: false), 1e-4);
    }

    [Fact]
    public async Task In_the_middle_of_a_run_it_waits_and_a_restart_keeps_what_the_run_began_with()
    {
        using var log = _folder.Open();
        var rig = new SimulatedRig(River, 1, []);
        using var drive = new RigDrive(rig, new StationState(River), log, MonotonicTime.FromSeconds(1), Evening);
        drive.Begin();
        drive.Go(300, () => drive.CommitAnd(false));
        var (directory, desk) = Desks(log, drive);
        using var notes = new NoteDesk(log, directory) { Calibrated = desk.Apply };
        var written = await notes.WriteAsync(null, Note(1.2));
        Assert.EndsWith("when the run has ended.", written.Text, StringComparison.Ordinal);
        drive.Go(300, () => drive.CommitAnd(false));
        Assert.Equal(1, Ratio(drive), 1e-9);

        // The program starts again here: its station is the file with the book over it, its run is not.
        log.Flush();
        var (station, _) = desk.InForce(River);
        Assert.Equal(1.2, station.Sensors.VesselConductivity.CellConstantPerCm);
        var again = Restart.Of(log, station, new FixedTime(Evening.AddSeconds(drive.Now.Seconds)));
        Assert.Equal(1, again.State.Station.Sensors.VesselConductivity.CellConstantPerCm);
        Assert.Equal(Text(drive.Loop.State), Text(again.State));

        _ = drive.Loop.Ask(new Asking(Verb.Close, "test"));
        drive.Go(3);
        _ = drive.Loop.Ask(new Asking(Verb.Finish, "test"));
        Assert.True(drive.Go(30, () => drive.Loop.State.Phase is Phase.Finished or Phase.Abandoned));
        drive.Go(2);
        Assert.Equal(1.2, Ratio(drive), 1e-9);
    }

    [Fact]
    public async Task A_log_with_a_calibration_between_two_runs_replays_bit_for_bit()
    {
        using var log = _folder.Open();
        var rig = new SimulatedRig(River, 1, []);
        using var drive = new RigDrive(rig, new StationState(River), log, MonotonicTime.FromSeconds(1), Evening);
        var (directory, desk) = Desks(log, drive);
        using var notes = new NoteDesk(log, directory) { Calibrated = desk.Apply };
        drive.Begin();
        drive.Go(200, () => drive.CommitAnd(false));
        _ = drive.Loop.Ask(new Asking(Verb.Close, "test"));
        drive.Go(3);
        _ = drive.Loop.Ask(new Asking(Verb.Finish, "test"));
        drive.Go(3);
        Assert.True((await notes.WriteAsync(null, Note(1.05))).Ok);
        drive.Begin();
        drive.Go(400, () => drive.CommitAnd(false));
        log.Flush();

        var entries = log.Reader.Read(0, 100_000);
        Assert.Equal(2, entries.Select(e => e.ConfigurationId).Distinct().Count());
        var replayed = new StationState(River);
        LogReplay.Run(entries, replayed, configured: log.Reader.Configuration);
        Assert.Equal(Text(drive.Loop.State), Text(replayed));

        // Without the calibrations' identities it is another night.
        var blind = new StationState(River);
        LogReplay.Run(entries, blind);
        Assert.NotEqual(Text(drive.Loop.State), Text(blind));
    }

    [Theory]
    [InlineData(89.9, false)]
    [InlineData(90.1, true)]
    public void Past_its_due_date_it_is_an_alarm_of_low_priority_and_in_the_status(double days, bool overdue)
    {
        using var log = _folder.Open();
        using var drive = new RigDrive(new SimulatedRig(River, 1, []), new StationState(River), log, MonotonicTime.FromSeconds(1), Evening.AddDays(days));
        drive.Loop.CalibrationsDue = Calibrations.Due([Note(1).Calibration!]);
        drive.Go(5);
        Assert.Equal(overdue, drive.Loop.State.AlarmOf(Core.Alarms.AlarmId.RoutineOverdue).Stands);
        Assert.Equal(overdue, StatusText.Of(drive.Loop).Contains("calibration overdue: vessel-conductivity since 2026-06-12", StringComparison.Ordinal));
    }

    [Fact]
    public async Task The_daemons_door_gives_what_the_guide_needs()
    {
        using var log = _folder.Open();
        using var drive = new RigDrive(new SimulatedRig(River, 1, []), new StationState(River), log, MonotonicTime.FromSeconds(1), Evening, hands: true);
        drive.Go(5);
        var directory = new StationDirectory();
        directory.Set(drive.Loop);
        using var probes = new DaemonProbes(River, async ask =>
        {
            drive.Go(1);
            return await directory.ObeyAsync(ask);
        });
        Assert.Contains("1274 µS/cm at 20.0", await probes.DoAsync("vessel 1274 20"), StringComparison.Ordinal);
        var look = await probes.LookAsync();
        Assert.Equal((false, drive.Probes[Channel.VesselConductivity].Code), (look!.Running, look.Raw[Channel.VesselConductivity].Code));
        Assert.Contains("is not one of", await probes.DoAsync("vessel into the tea"), StringComparison.Ordinal);
        drive.Begin();
        Assert.True((await probes.LookAsync())!.Running);
        var refused = await new CalibrateGuide(River, probes, [], _ => { }, _ => Task.CompletedTask).RunAsync(new CalibrateAsk { Probe = "vessel-conductivity", Standards = ["147"] });
        Assert.Contains("sim-river has a run", refused.Refusal.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_record_before_a_check_is_written_with_fouling_and_drift_taken_out_and_nothing_else_changes()
    {
        using var log = _folder.Open();
        using var drive = new RigDrive(new SimulatedRig(River, 1, []), new StationState(River), log, MonotonicTime.FromSeconds(1), Evening);
        drive.Go(600);
        log.Flush();
        var (calibrated, cell) = (Note(1.0).Calibration!, CalibratedProbe.VesselConductivity);
        Assert.Contains("No check", DriftFile.Of(log.Folder, River.Name, cell, [calibrated], TimeZoneInfo.Utc).Problem, StringComparison.Ordinal);

        // Fouling +5 % of 400, drift +2 % of 1000: at the end x 1.05 x 1.02 = 1.071, half way x 1.025 x 1.01 = 1.03525.
        var check = new DriftCheck { ProbeBefore = 400, ProbeAfter = 420, MeterBefore = 500, MeterAfter = 500, Standard = 1020, ProbeInStandard = 1000 };
        var seen = calibrated with { At = Evening.AddSeconds(600), Values = [], Due = Evening.AddDays(90), Drift = new(DriftKind.SpecificConductance, check) };
        var (text, problem) = DriftFile.Of(log.Folder, River.Name, cell, [calibrated, seen], TimeZoneInfo.Utc);
        Assert.Null(problem);
        var rows = text!.Split("\r\n", StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal("time_utc,read_us_per_cm,without_fouling_us_per_cm,corrected_us_per_cm", rows[0]);
        Assert.InRange(rows.Length, 500, 700);
        double[] Row(string time) => [.. rows.First(row => row.StartsWith(time, StringComparison.Ordinal)).Split(',').Skip(1).Select(field => double.Parse(field, System.Globalization.CultureInfo.InvariantCulture))];
        Assert.Equal(1.03525, Row("2026-03-14T20:05:00Z") is var half ? half[2] / half[0] : 0, 0.0003);
        Assert.Equal(1.071, Row("2026-03-14T20:09:5") is var end ? end[2] / end[0] : 0, 0.0015);

        // After a check that set nothing the cell reads as low as that one found it: 2 % from the first on, and at the end 2 % still.
        var after = DriftFile.Of(log.Folder, River.Name, cell, [calibrated, seen with { At = calibrated.At.AddSeconds(1) }, seen], TimeZoneInfo.Utc).Text!.Split("\r\n")[1].Split(',');
        Assert.Equal(1.02, double.Parse(after[3], System.Globalization.CultureInfo.InvariantCulture) / double.Parse(after[2], System.Globalization.CultureInfo.InvariantCulture), 1e-4);

        var beyond = seen with { Drift = new(DriftKind.SpecificConductance, check with { ProbeAfter = 560 }) };
        var later = seen with { At = Evening.AddDays(3), Due = Evening.AddDays(90) };
        Assert.Equal(
            "No reading of vessel-conductivity between 2026-03-16 20:00 and 2026-03-17 20:00 is in the log: there is nothing to correct.",
            DriftFile.Of(log.Folder, River.Name, cell, [calibrated with { At = Evening.AddDays(2) }, later], TimeZoneInfo.Utc).Problem);
        Assert.Contains("no later than the calibration before it", DriftFile.Of(log.Folder, River.Name, cell, [calibrated, seen with { At = calibrated.At }], TimeZoneInfo.Utc).Problem, StringComparison.Ordinal); // it had ended in an exception
        Assert.Contains("Leave the record out", DriftFile.Of(log.Folder, River.Name, cell, [calibrated, beyond], TimeZoneInfo.Utc).Problem, StringComparison.Ordinal);
    }

    private static (StationDirectory Directory, CalibrationDesk Desk) Desks(NightLog log, RigDrive drive)
    {
        var directory = new StationDirectory();
        directory.Set(drive.Loop);
        return (directory, new CalibrationDesk(new RunPlan([River], 1, false, 1), log, directory, NullLogger<CalibrationDesk>.Instance));
    }

    private static Note Note(double perCm) => new()
    {
        Kind = NoteKind.Calibration,
        By = "Ann",
        Calibration = new CalibrationRecord("vessel-conductivity", Evening, "Ann", "", [new(Constant, "1/cm", 1, perCm, 0.01)], Evening.AddDays(90)),
    };

    private static double Mean(RigDrive drive) => drive.Loop.State.Readings[Channel.VesselConductivity].Value;

    /// <summary>What the station makes of the probe's integer over what the file makes of it.</summary>
    private static double Ratio(RigDrive drive) =>
        Calibrate.Apply(drive.Loop.Shown.Raw, drive.Loop.State.Station.Sensors)[Channel.VesselConductivity].Value
        / Calibrate.Apply(drive.Loop.Shown.Raw, River.Sensors)[Channel.VesselConductivity].Value;

    private static string Text(StationState state) => FormattableString.Invariant(
        $"{state.Phase} {state.OpenSeconds:R} {state.InflowLitres:R} {state.Readings[Channel.VesselConductivity].Value:R} {state.HasForecast} {state.Forecast.VolumeLitres.P50:R} {state.Forecast.FlowMillilitresPerMinute.P95:R} {state.Forecast.BrimProbability:R} {state.Forecast.MatchSeconds.P50:R}");
}
