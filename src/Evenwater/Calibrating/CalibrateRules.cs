using Evenwater.Core.Calibration;
using Evenwater.Core.Keeping;
using Evenwater.Core.Quantities;
using Evenwater.Core.Stations;
using Evenwater.Core.Water;

namespace Evenwater.Calibrating;

/// <summary>What must hold of the answers before anything is dipped or poured: what would be refused at the end is refused here, before minutes of work and litres of water.</summary>
internal static class CalibrateRules
{
    /// <summary>Brim and freeboard are decimal numbers; this much is not a difference, L.</summary>
    private const double RoundingLitres = 1e-9;

    /// <summary>The first thing that is wrong; null when nothing is.</summary>
    /// <param name="ask">What was asked.</param>
    /// <param name="probe">Of which probe.</param>
    /// <param name="station">Of which station.</param>
    /// <param name="atTerminal">Whether somebody can be asked for the second meter's second reading, once there is one.</param>
    public static Problem? Wrong(CalibrateAsk ask, CalibratedProbe probe, Station station, bool atTerminal) =>
        ask.DueDays is { } days && days is not (>= 1 and <= 3660) ? new("--due-days", $"{days}", "1 to 3660", "Say in how many days it is due again.")
        : ask.Check && !ask.IsCell ? new("--check", probe.Name, $"{CalibratedProbe.VesselConductivity.Name}, {CalibratedProbe.TankConductivity.Name}", "Only cells are checked by cleaning; calibrate the others.")
        : WrongWords(ask) is { } words ? words
        : ask.IsCell ? WrongCell(ask, atTerminal)
        : ask.IsThermometer ? WrongThermometer(ask)
        : probe == CalibratedProbe.LoadCell || probe == CalibratedProbe.Level ? WrongVolumes(ask, station.Vessel)
        : probe == CalibratedProbe.Drops && ask.Millilitres is not (> 0 and <= 1000) ? new("--millilitres", $"{ask.Millilitres?.ToString() ?? "not given"}", "above 0, to 1000 mL", "Say what the cylinder holds at the end; 10 mL are a few hundred drops.")
        : null;

    /// <summary>As the book will have it.</summary>
    private static Problem? WrongWords(CalibrateAsk ask) =>
        ask.By.Trim().Length is 0 or > NoteRules.LongestBy || ask.By.Any(char.IsControl) ? new("--by", $"{ask.By.Length} characters", $"1 to {NoteRules.LongestBy} plain characters", "Say who does it.")
        : ask.Note.Length > NoteRules.LongestText ? new("--note", $"{ask.Note.Length} characters", $"up to {NoteRules.LongestText} characters", "Say it shorter.")
        : !NoteRules.IsShowable(ask.Note) ? new("--note", "with control characters", "plain text", "Write it without them.")
        : null;

    private static Problem? WrongCell(CalibrateAsk ask, bool atTerminal)
    {
        foreach (var name in ask.Standards)
        {
            var (standard, unknown) = Standards.Named(name);
            if (unknown is not null) return unknown;
            if (!StandardConductivity.IsInRange(standard, ask.SimulatedCupCelsius))
            {
                return new("--simulated-cup", $"{ask.SimulatedCupCelsius}", "the standard's table: 0 to 35 °C, sea water -2 to 35 °C", "Say how warm a simulated station's cups are.");
            }
        }

        var most = ask.Check ? 1 : 2;
        return ask.Standards.Count is 0 || ask.Standards.Count > most ? new("--standard", $"{ask.Standards.Count} given", $"{(ask.Check ? "1" : "1 or 2")} of {Standards.Names}", "Say what is in the cup, as its label says.")
            : ask.Standards.Count == 2 && ask.Standards[0] == ask.Standards[1] ? new("--standard", $"{ask.Standards[0]} twice", "two different ones", "Two points of one standard are one point.")
            : ask.Standards.Count == 2 && Alike(ask.Standards[0], ask.Standards[1]) ? new("--standard", $"{ask.Standards[0]} and {ask.Standards[1]}", $"two, one of at least {CellCalibration.LeastRatio:0} times the other's conductivity", "Take two that are further apart, or calibrate by one alone.")
            : !(ask.TolerancePercent is >= 0.01 and <= 5) ? new("--tolerance", $"{ask.TolerancePercent}", "0.01 to 5 %", "Say what the label allows; 1 is usual.")
            : ask.NominalPerCm is { } nominal && nominal is not (0.1 or 1 or 10) ? new("--nominal", $"{nominal}", "0.1, 1 or 10 1/cm", "Give the constant that the probe was sold with.")
            : ask.MeterBefore is null != ask.MeterAfter is null && !(atTerminal && ask.Check && ask.MeterBefore is not null) ? new("--meter-after", "one of both", "both readings of the second meter, or none", "Read it at both moments.")
            : WrongMeter("--meter-before", ask.MeterBefore) ?? WrongMeter("--meter-after", ask.MeterAfter);
    }

    private static bool Alike(string one, string other)
    {
        double At25(string name) => StandardConductivity.MicrosiemensPerCm(Standards.Named(name).Standard, 25);
        return Math.Max(At25(one) / At25(other), At25(other) / At25(one)) < CellCalibration.LeastRatio;
    }

    /// <summary>What is wrong with a reading of the second meter; null when nothing is.</summary>
    public static Problem? WrongMeter(string option, double? reading) => reading is null or (> 0 and <= Conductivity.MaxMicrosiemensPerCm)
        ? null
        : new(option, $"{reading}", $"above 0, to {Conductivity.MaxMicrosiemensPerCm:0} µS/cm at 25 °C", "Give what the second meter reads, in µS/cm.");

    private static Problem? WrongThermometer(CalibrateAsk ask) =>
        ask.Ice == ask.ReferenceCelsius is not null ? new("--ice, --reference", ask.Ice ? "both" : "neither", "one of them", "Say --ice, or --reference and what the good thermometer reads.")
        : ask.ReferenceCelsius is not (null or (>= ThermometerOffset.LeastReferenceCelsius and <= ThermometerOffset.MostReferenceCelsius)) ? new("--reference", $"{ask.ReferenceCelsius}", $"{ThermometerOffset.LeastReferenceCelsius} to {ThermometerOffset.MostReferenceCelsius} °C", "Give what the other thermometer reads, in °C.")
        : !(ask.ReferenceSd is > 0 and < ThermometerOffset.WorstSd) ? new("--reference-sd", $"{ask.ReferenceSd}", $"above 0, below {ThermometerOffset.WorstSd} °C", "Say how well the other one is known; one that is known no better than this one can not correct it.")
        : null;

    private static Problem? WrongVolumes(CalibrateAsk ask, Vessel vessel)
    {
        if (ask.Litres.Count < 2) return new("--litres", $"{ask.Litres.Count} given", "2 or more, 0 first, such as --litres 0 2 5", "Say which volumes you will pour in.");
        if (ask.Litres.Any(l => !(l is >= 0 and <= 5000)) || !(ask.LitresSd is > 0 and <= 5))
        {
            return new("--litres, --litres-sd", "outside, or no numbers", "0 to 5000 L, above 0 to 5 L", "Say volumes that a jug or a scale gives, with a point and not a comma: 0 2.5 5.");
        }

        var (highest, end) = vessel.StandpipeLitres is { } pipe ? (pipe, "where the standpipe begins to run") : (vessel.BrimLitres - vessel.FreeboardLitres, "brim less freeboard");
        if (ask.Litres.Max() > highest + RoundingLitres)
        {
            return new("--litres", $"{ask.Litres.Max():0.###} L", $"0 to {highest:0.###} L, {end}", "More would run over: say volumes that the vessel holds.");
        }

        var span = ask.Litres.Max() - ask.Litres.Min();
        return span < KnownLine.LeastSpan * ask.LitresSd ? new("--litres", $"{span:0.###} L apart", $"{KnownLine.LeastSpan * ask.LitresSd:0.###} L or more, {KnownLine.LeastSpan:0} times --litres-sd", "Measure an empty and a well filled vessel, or measure the volumes better.")
            : !(ask.WaterCelsius is >= 0 and <= 60) ? new("--water-celsius", $"{ask.WaterCelsius}", "0 to 60 °C", "Say the water's temperature.")
            : null;
    }
}
