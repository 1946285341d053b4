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

    /// <summary>The probe that is meant; null when none is named, or none of that name.</summary>
    public CalibratedProbe? Known => Probe is null ? null : CalibratedProbe.Named(Probe);

    public bool IsCell => Known == CalibratedProbe.VesselConductivity || Known == CalibratedProbe.TankConductivity;

    public bool IsThermometer => Known == CalibratedProbe.VesselThermometer || Known == CalibratedProbe.TankThermometer;

    /// <summary>The first thing that is wrong with what was asked, or missing; null when all is there.</summary>
    /// <param name="station">Of which station.</param>
    /// <param name="atTerminal">Whether somebody can be asked.</param>
    public Problem? Asked(Station station, bool atTerminal) =>
        History && Probe is null ? null
        : Known is not { } probe ? new Problem("probe", Probe ?? "not given", CalibratedProbe.Names, "Name what is to be calibrated.")
        : !probe.Fitted(station) ? new Problem("probe", probe.Name, "a probe that the station has", $"{station.Name} has none; see sensors in its station file.")
        : Review is not null && !IsCell ? new Problem("--review", probe.Name, $"{CalibratedProbe.VesselConductivity.Name}, {CalibratedProbe.TankConductivity.Name}", "Only these are checked by cleaning.")
        : History || Undo || Review is not null ? null
        : Wrong(probe) ?? (Yes || atTerminal ? null : new Problem("--yes", "not given", "--yes where nobody can be asked", "Say it to have the result written, or go through it on a terminal."));

    /// <summary>The same with what was not said asked of the keeper, where somebody can be asked.</summary>
    /// <param name="answer">Puts a question and gives the line that is answered; empty for none.</param>
    public CalibrateAsk Completed(Func<string, string> answer)
    {
        var ask = Probe is null && !History ? this with { Probe = answer($"What is to be calibrated: {CalibratedProbe.Names}?") } : this;
        if (ask.Known is not { } probe || History || Undo || Review is not null) return ask;
        if (ask.IsCell && ask.Standards.Count == 0)
        {
            return ask with { Standards = Words(answer($"Which standard{(Check ? "" : ", or two with a blank between")}: {Calibrating.Standards.Names}?")) };
        }

        if (ask.IsThermometer && !Ice && ReferenceCelsius is null)
        {
            var told = answer("ice, or what the good thermometer beside it reads, in °C?");
            return told.Trim() == "ice" ? ask with { Ice = true } : ask with { ReferenceCelsius = Number(told) };
        }

        return (probe == CalibratedProbe.LoadCell || probe == CalibratedProbe.Level) && Litres.Count == 0
                ? ask with { Litres = [.. Words(answer("Which volumes will you pour in, in litres, each told from empty, such as 0 2 5?")).Select(word => Number(word) ?? double.NaN)] }
            : probe == CalibratedProbe.Drops && Millilitres is null ? ask with { Millilitres = Number(answer("How many millilitres will the cylinder hold at the end?")) }
            : ask;
    }

    /// <summary>A comma behind a word is left out. One within it stays, and makes it no number: "2,5" is not two volumes.</summary>
    private static string[] Words(string line) => [.. line.Split(' ', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries).Select(word => word.TrimEnd(',')).Where(word => word.Length > 0)];

    private static double? Number(string word) => double.TryParse(word.Trim(), System.Globalization.NumberStyles.Float, System.Globalization.CultureInfo.InvariantCulture, out var number) ? number : null;

    /// <summary>What goes into the book.</summary>
    public CalibrationRecord Record(Found found, DateTimeOffset now)
    {
        var note = Note.Length > 0 ? $"{found.Note}; {Note}" : found.Note;
        return new CalibrationRecord(
            Known!.Name, now, By, note.Length > CalibrationRecord.LongestNote ? note[..CalibrationRecord.LongestNote] : note, found.Values, now.AddDays(DueDays ?? Known.DueDays))
        {
            Drift = found.Drift,
        };
    }

    private Problem? Wrong(CalibratedProbe probe) =>
        DueDays is { } days && days is not (>= 1 and <= 3660) ? new("--due-days", $"{days}", "1 to 3660", "Say in how many days it is due again.")
        : Check && !IsCell ? new("--check", probe.Name, $"{CalibratedProbe.VesselConductivity.Name}, {CalibratedProbe.TankConductivity.Name}", "Only cells are checked by cleaning; calibrate the others.")
        : IsCell ? WrongCell()
        : IsThermometer ? WrongThermometer()
        : (probe == CalibratedProbe.LoadCell || probe == CalibratedProbe.Level) && Litres.Count < 2 ? new("--litres", $"{Litres.Count} given", "2 or more, 0 first, such as --litres 0 2 5", "Say which volumes you will pour in.")
        : Litres.Any(l => !(l is >= 0 and <= 5000)) || !(LitresSd is > 0 and <= 5) ? new("--litres, --litres-sd", "outside, or no numbers", "0 to 5000 L, above 0 to 5 L", "Say volumes that a jug or a scale gives, with a point and not a comma: 0 2.5 5.")
        : !(WaterCelsius is >= 0 and <= 60) ? new("--water-celsius", $"{WaterCelsius}", "0 to 60 °C", "Say the water's temperature.")
        : probe == CalibratedProbe.Drops && Millilitres is not (> 0 and <= 1000) ? new("--millilitres", $"{Millilitres?.ToString() ?? "not given"}", "above 0, to 1000 mL", "Say what the cylinder holds at the end; 10 mL are a few hundred drops.")
        : null;

    private Problem? WrongCell()
    {
        foreach (var name in Standards)
        {
            if (Calibrating.Standards.Named(name).Problem is { } unknown) return unknown;
        }

        var most = Check ? 1 : 2;
        return Standards.Count is 0 || Standards.Count > most ? new("--standard", $"{Standards.Count} given", $"{(Check ? "1" : "1 or 2")} of {Calibrating.Standards.Names}", "Say what is in the cup, as its label says.")
            : Standards.Count == 2 && Standards[0] == Standards[1] ? new("--standard", $"{Standards[0]} twice", "two different ones", "Two points of one standard are one point.")
            : !(TolerancePercent is >= 0.01 and <= 5) ? new("--tolerance", $"{TolerancePercent}", "0.01 to 5 %", "Say what the label allows; 1 is usual.")
            : NominalPerCm is { } nominal && nominal is not (0.1 or 1 or 10) ? new("--nominal", $"{nominal}", "0.1, 1 or 10 1/cm", "Give the constant that the probe was sold with.")
            : MeterBefore is not null != MeterAfter is not null ? new("--meter-after", "one of both", "both readings of the second meter, or none", "Read it at both moments.")
            : null;
    }

    private Problem? WrongThermometer() =>
        Ice == ReferenceCelsius is not null ? new("--ice, --reference", Ice ? "both" : "neither", "one of them", "Say --ice, or --reference and what the good thermometer reads.")
        : ReferenceCelsius is < ThermometerOffset.LeastReferenceCelsius or > ThermometerOffset.MostReferenceCelsius ? new("--reference", $"{ReferenceCelsius}", $"{ThermometerOffset.LeastReferenceCelsius} to {ThermometerOffset.MostReferenceCelsius} °C", "Give what the other thermometer reads, in °C.")
        : !(ReferenceSd is > 0 and <= 1) ? new("--reference-sd", $"{ReferenceSd}", "above 0, to 1 °C", "Say how well the other one is known.")
        : null;
}
