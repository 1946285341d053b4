using Evenwater.Core.Calibration;
using Evenwater.Core.Stations;

namespace Evenwater.Calibrating;

/// <summary>What was asked of a calibration: every answer that the guide needs.</summary>
internal sealed record CalibrateAsk
{
    public string? Probe { get; init; }

    public IReadOnlyList<string> Standards { get; init; } = [];

    public double TolerancePercent { get; init; } = 1;

    public double? NominalPerCm { get; init; }

    public bool Ice { get; init; }

    public double? ReferenceCelsius { get; init; }

    public double ReferenceSd { get; init; } = 0.1;

    public IReadOnlyList<double> Litres { get; init; } = [];

    public double LitresSd { get; init; } = 0.01;

    public double WaterCelsius { get; init; } = 20;

    public double? Millilitres { get; init; }

    public double? Drops { get; init; }

    public bool Check { get; init; }

    public double? MeterBefore { get; init; }

    public double? MeterAfter { get; init; }

    public double SimulatedCupCelsius { get; init; } = 22;

    public string By { get; init; } = "";

    public string Note { get; init; } = "";

    public int? DueDays { get; init; }

    public bool Yes { get; init; }

    public bool History { get; init; }

    public bool Undo { get; init; }

    /// <summary>Where the record before the last check goes, corrected for review.</summary>
    public string? Review { get; init; }

    /// <summary>What was answered to a question and is no answer to it; null when each was one, or none at all.</summary>
    public Problem? NoAnswer { get; init; }

    /// <summary>The probe that is meant; null when none is named, or none of that name.</summary>
    public CalibratedProbe? Known => Probe is null ? null : CalibratedProbe.Named(Probe);

    public bool IsCell => Known == CalibratedProbe.VesselConductivity || Known == CalibratedProbe.TankConductivity;

    public bool IsThermometer => Known == CalibratedProbe.VesselThermometer || Known == CalibratedProbe.TankThermometer;

    /// <summary>The first thing that is wrong with what was asked, or missing; null when all is there.</summary>
    /// <param name="station">Of which station.</param>
    /// <param name="atTerminal">Whether somebody can be asked.</param>
    public Problem? Asked(Station station, bool atTerminal) =>
        new[] { History, Undo, Check, Review is not null }.Count(said => said) > 1 ? new Problem("--history, --undo, --check, --review", "several", "one of them", "Say what is to be done.")
        : History && Probe is null ? null
        : Known is not { } probe ? new Problem("probe", Probe ?? "not given", CalibratedProbe.Names, "Name what is to be calibrated.")
        : !probe.Fitted(station) ? new Problem("probe", probe.Name, "a probe that the station has", $"{station.Name} has none; see sensors in its station file.")
        : Review is not null && !IsCell ? new Problem("--review", probe.Name, $"{CalibratedProbe.VesselConductivity.Name}, {CalibratedProbe.TankConductivity.Name}", "Only these are checked by cleaning.")
        : History || Undo || Review is not null ? null
        : NoAnswer is { } misread ? misread
        : CalibrateRules.Wrong(this, probe, station, atTerminal) ?? (Yes || atTerminal ? null : new Problem("--yes", "not given", "--yes where nobody can be asked", "Say it to have the result written, or go through it on a terminal."));

    /// <summary>The same with what was not said asked of the keeper, where somebody can be asked.</summary>
    /// <param name="station">Of which station: about a probe that it has not, nothing is asked.</param>
    /// <param name="answer">Puts a question and gives the line that is answered; empty for none.</param>
    public CalibrateAsk Completed(Station station, Func<string, string> answer)
    {
        var ask = Probe is null && !History ? this with { Probe = answer($"What is to be calibrated: {CalibratedProbe.Names}?") } : this;
        if (ask.Known is not { } probe || !probe.Fitted(station) || History || Undo || Review is not null) return ask;
        if (ask.IsCell && ask.Standards.Count == 0)
        {
            return ask with { Standards = Words(answer($"Which standard{(Check ? "" : ", or two with a blank between")}: {Calibrating.Standards.Names}?")) };
        }

        if (ask.IsThermometer && !Ice && ReferenceCelsius is null)
        {
            var told = answer("ice, or what the good thermometer beside it reads, in °C?");
            return told.Trim().Equals("ice", StringComparison.OrdinalIgnoreCase) ? ask with { Ice = true }
                : ask with { ReferenceCelsius = Number(told), NoAnswer = Misread(told, "--ice, --reference", $"ice, or {ThermometerOffset.LeastReferenceCelsius} to {ThermometerOffset.MostReferenceCelsius} °C", "21.5") };
        }

        if (probe == CalibratedProbe.Drops && Millilitres is null)
        {
            var told = answer("How many millilitres will the cylinder hold at the end?");
            return ask with { Millilitres = Number(told), NoAnswer = Misread(told, "--millilitres", "above 0, to 1000 mL", "10") };
        }

        return (probe == CalibratedProbe.LoadCell || probe == CalibratedProbe.Level) && Litres.Count == 0
                ? ask with { Litres = [.. Words(answer("Which volumes will you pour in, in litres, each told from empty, such as 0 2 5?")).Select(word => Number(word) ?? double.NaN)] }
            : ask;
    }

    /// <summary>A comma behind a word is left out. One within it stays, and makes it no number: "2,5" is not two volumes.</summary>
    private static string[] Words(string line) => [.. line.Split(' ', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries).Select(word => word.TrimEnd(',')).Where(word => word.Length > 0)];

    /// <summary>An answer with a unit or a comma in it is told as it was typed: as none at all, its keeper would not know what was wrong with it.</summary>
    private static Problem? Misread(string told, string key, string allowed, string such) =>
        told.Trim().Length == 0 || Number(told) is not null ? null : new Problem(key, told.Trim(), allowed, $"Write the number alone, with a point and without any comma, such as {such}.");

    private static double? Number(string word) => double.TryParse(word.Trim(), System.Globalization.NumberStyles.Float, System.Globalization.CultureInfo.InvariantCulture, out var number) ? number : null;

    /// <summary>A check that says "calibrate now" must not put the next calibration off by months.</summary>
    private static bool AsksToCalibrate(DriftFound? drift) => drift is { Kind: var kind, Check: var check } && DriftRating.Of(kind, check.Combined(kind)) > DriftGrade.Good;

    /// <summary>What goes into the book.</summary>
    public CalibrationRecord Record(Found found, DateTimeOffset now)
    {
        var note = Note.Length > 0 ? $"{found.Note}; {Note}" : found.Note;
        return new CalibrationRecord(
            Known!.Name, now, By, note.Length > CalibrationRecord.LongestNote ? note[..CalibrationRecord.LongestNote] : note, found.Values, now.AddDays(DueDays ?? (AsksToCalibrate(found.Drift) ? 1 : Known.DueDays)))
        {
            Drift = found.Drift,
        };
    }
}
