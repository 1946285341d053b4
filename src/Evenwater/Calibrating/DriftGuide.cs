using System.Globalization;
using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Core.Stations;
using Evenwater.Core.Water;

namespace Evenwater.Calibrating;

/// <summary>How far a conductivity probe has fouled and drifted: read as it is, cleaned, read again, read in a standard; second meter beside it if there is one.</summary>
/// <param name="cups">Hands and patience.</param>
/// <param name="vessel">The vessel's; else the tank's.</param>
/// <param name="cell">The same cell in a standard.</param>
/// <param name="answer">Puts a question; null where nobody can be asked.</param>
internal sealed class DriftGuide(Cups cups, bool vessel, CellGuide cell, Func<string, string>? answer)
{
    private const int Wanted = 120;
    private const double AllowedMove = 0.005;

    private readonly Channel _channel = vessel ? Channel.VesselConductivity : Channel.TankConductivity;

    /// <summary>Goes through it.</summary>
    /// <param name="standard">Into which the cleaned probe goes.</param>
    /// <param name="standardRelativeSd">1-sigma of that, as a fraction.</param>
    /// <param name="meterBefore">A second meter beside it at the first reading, µS/cm at 25 °C; null: none, and the water is taken to stay as it is.</param>
    /// <param name="meterAfter">And at the second.</param>
    public async Task<Outcome<Found>> RunAsync(ConductivityStandard standard, double standardRelativeSd, double? meterBefore, double? meterAfter)
    {
        var which = vessel ? "vessel" : "tank";
        var input = vessel ? cups.Station.Sensors.VesselConductivity : cups.Station.Sensors.TankConductivity!;
        var nominal = CellCalibration.Nominal(input.CellConstantPerCm);
        if (cell.TooStrong(standard) is { } tooStrong) return tooStrong;
        await cell.BaselineAsync();
        cups.Say($"The {which}'s probe as it is, in its own water.");
        if (await SteadyAsync() is not { } before) return NotSteady(which);
        await cups.WaitAsync($"Clean the {which}'s probe with a soft brush and plain water, and put it back into the same water at the same place.");
        if (await SteadyAsync() is not { } after) return NotSteady(which);
        if (meterBefore is not null && meterAfter is null && answer is not null) meterAfter = SecondMeter(answer);
        var (reading, problem) = await cell.InAsync(standard, standardRelativeSd, nominal);
        await cups.DoAsync("out", "Rinse the probe and put it, with its thermometer, back into its own water.");
        if (problem is { } wrong) return wrong;
        var known = reading!.StandardMicrosiemensPerCm;
        var inStandard = (reading.ConductanceMicrosiemens * input.CellConstantPerCm) + input.OffsetMicrosiemensPerCm;
        var check = new DriftCheck
        {
            ProbeBefore = before,
            ProbeAfter = after,
            MeterBefore = meterBefore ?? after,
            MeterAfter = meterAfter ?? meterBefore ?? after,
            Standard = known,
            ProbeInStandard = inStandard,
        };
        return check.Wrong(DriftKind.SpecificConductance) is { } impossible
            ? impossible
            : new Found([], Words(check, standard, meterBefore is not null)) { Drift = new(DriftKind.SpecificConductance, check) };
    }

    /// <summary>What was found, with its grade and what to do.</summary>
    public static string Words(DriftCheck check, ConductivityStandard standard, bool metered)
    {
        var combined = check.Combined(DriftKind.SpecificConductance);
        var grade = DriftRating.Of(DriftKind.SpecificConductance, combined);
        var advice = grade switch
        {
            DriftGrade.Excellent => "nothing to do",
            DriftGrade.Good => "calibrate at the next occasion",
            DriftGrade.Fair or DriftGrade.Poor => "calibrate now; clean it more often",
            _ => $"above {DriftRating.MostCorrectable(DriftKind.SpecificConductance):0} %, the most that may be corrected: leave the record since the last calibration out, look at the probe, calibrate",
        };
        return $"fouling {check.FoulingPercent:+0.0;-0.0;0.0} %, drift {check.DriftPercent:+0.0;-0.0;0.0} % in {StandardNames.Of(standard)}, together {combined:0.0} %: {DriftWords(grade)}; {advice}{(metered ? "" : " (no second meter: the water is taken to have stayed)")}";
    }

    private static string DriftWords(DriftGrade grade) => grade switch
    {
        DriftGrade.Excellent => "excellent",
        DriftGrade.Good => "good",
        DriftGrade.Fair => "fair",
        DriftGrade.Poor => "poor",
        DriftGrade.BeyondCorrection => "beyond correction",
        _ => throw new ArgumentOutOfRangeException(nameof(grade), grade, "no words for this grade"),
    };

    private static Problem NotSteady(string which) => new(
        $"{which}-conductivity", "not steady in its own water", "steady within 0.5 %", "Wait until the water is still and mixed, and try again. Nothing was changed.");

    /// <summary>What the second meter reads after the cleaning: before it nobody could have told it.</summary>
    private double? SecondMeter(Func<string, string> ask)
    {
        while (ask("What does the second meter beside it read now, µS/cm at 25 °C? (Enter: as before)").Trim() is { Length: > 0 } told)
        {
            var read = double.TryParse(told, NumberStyles.Float, CultureInfo.InvariantCulture, out var number) ? number : double.NaN;
            if (CalibrateRules.WrongMeter("--meter-after", read) is not { } wrong) return read;
            cups.Say($"{told}: {wrong.Allowed}. Write the number alone, with a point and without any comma.");
        }

        return null;
    }

    private async Task<double?> SteadyAsync()
    {
        var steadiness = new Steadiness(Wanted, AllowedMove, CupMatch.SlowestLag);
        var steady = await cups.SettleAsync(
            steadiness,
            look => Calibrate.Apply(look.Raw, cups.Station.Sensors)[_channel] is var reading && reading.TryGet(out var value) && value > 0 ? (Math.Log(value), reading.TakenAt.Seconds) : null);
        return steady ? Math.Exp(steadiness.Mean) : null;
    }
}
