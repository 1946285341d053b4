using System.Text.Json;
using Evenwater.Core.Estimation;

namespace Evenwater.Hardware.Trace;

/// <summary>
/// Reads what the keeper knew from the description beside a trace (NAME.meta.json, its "prior"). The "truth" of such a file is
/// never looked at here.
/// </summary>
public static class TracePrior
{
    private static readonly string[] Amounts = ["L", "V_L", "volume_L", "litres", "discard_L", "dV_L"];
    private static readonly string[] Tank = ["tank_guess_uScm", "Ct_guess_uScm"];
    private static readonly string[] TankSd = ["tank_guess_rel_sd", "Ct_guess_rel_sd"];
    private static readonly Range Time = new(-1e9, 1e9);

    /// <summary>Reads the prior of a NAME.meta.json.</summary>
    /// <exception cref="InvalidDataException">Not JSON, or a key is missing, of the wrong kind or out of range: the message names file, key, value and range.</exception>
    public static Prior Read(string path)
    {
        try
        {
            using var document = JsonDocument.Parse(File.ReadAllText(path));
            return document.RootElement.ValueKind == JsonValueKind.Object && document.RootElement.TryGetProperty("prior", out var prior)
                ? Convert(new TraceKeys(prior, "prior"))
                : throw new InvalidDataException("no object 'prior'");
        }
        catch (JsonException e)
        {
            throw new InvalidDataException($"{path}: not JSON: {e.Message}", e);
        }
        catch (InvalidDataException e)
        {
            throw new InvalidDataException($"{path}: {e.Message}", e);
        }
    }

    // Ranges of what can be at all: no vessel here is a pond, no tap gives more than 10 L a minute, no keeper knows so little as 200 %.
    private const double MostLitres = 10_000;
    private const double MostFlow = 10_000;
    private const double MostConductivity = 200_000;
    private const double MostRelativeSd = 2;

    private static Prior Convert(TraceKeys keys)
    {
        var mode = ModeOf(keys);
        var start = keys.Need("V0_guess_L", Range.MoreThanNothing(MostLitres));
        var brim = keys.Need("Vmax_nominal_L", new Range(start, MostLitres, MoreThanLeast: true));
        return new Prior
        {
            Mode = mode,
            StartVolumeLitres = start,
            StartVolumeRelativeSd = RelativeSd(keys, "V0_rel_sd") ?? 0.1,
            BrimLitres = brim,
            BrimRelativeSd = RelativeSd(keys, "Vmax_rel_sd") ?? 0.015,
            FreeboardLitres = keys.Number("freeboard_L", Range.FromNothing(brim)) ?? 0,
            StandpipeLitres = mode == VesselMode.Standpipe
                ? keys.Need("standpipe_L", Range.MoreThanNothing(brim))
                : keys.Number("standpipe_L", Range.MoreThanNothing(MostLitres)),
            StandpipeRelativeSd = RelativeSd(keys, "standpipe_rel_sd") ?? 0.02,
            FlowMillilitresPerMinute = keys.Number("q_guess_mLmin", Range.MoreThanNothing(MostFlow)),
            FlowRelativeSd = RelativeSd(keys, "q_guess_rel_sd") ?? 0.1,
            FloatLowLitres = keys.Number("float_low_L", Range.MoreThanNothing(MostLitres)),
            FloatHighLitres = keys.Number("float_high_L", Range.MoreThanNothing(MostLitres)),
            FloatSdLitres = keys.Number("float_sd_L", Range.FromNothing(brim)) ?? 0.12,
            VesselAreaSquareMetres = keys.Number("bucket_area_m2", Range.MoreThanNothing(100)),
            LoadCellTareSdKilograms = keys.Number("mass_tare_sd_kg", Range.FromNothing(100)) ?? 0.05,
            LevelOffsetSdMillimetres = keys.Number("level_offset_sd_mm", Range.FromNothing(1000)) ?? 3,
            TankMicrosiemensPerCm = OneOf(keys, Tank, Range.MoreThanNothing(MostConductivity)),
            TankRelativeSd = OneOf(keys, TankSd, Range.FromNothing(MostRelativeSd)) ?? 0.02,
            RoomCelsius = keys.Number("room_temp_C", new Range(-20, 60)),
            GainRatioRelativeSd = RelativeSd(keys, "gain_ratio_rel_sd") ?? 0.021,
            ToleranceMicrosiemensPerCm = keys.Need("tol_uScm", Range.MoreThanNothing(MostConductivity)),
            QuantisationMicrosiemensPerCm = keys.Number("quantisation_uScm", Range.FromNothing(10_000)) ?? 0.1,
            ValveClosesOnPowerLoss = keys.Text("valve_fails") != "stays",
            ValveCommands = [.. keys.Items("valve_commands").Select(c => new ValveCommand(c.Need("t_s", Time), c.Need("open", new Range(0, 1)) > 0)).OrderBy(c => c.AtSeconds)],
            DrawOffs = [.. keys.Items("discards").Select(d => DrawOffOf(d, brim)).Where(d => d.Litres > 0).OrderBy(d => d.AtSeconds)],
            DropMillilitres = keys.Number("drop_mL_nominal", Range.MoreThanNothing(10)) ?? 0.05,
            DropRelativeSd = RelativeSd(keys, "drop_rel_sd") ?? 0.12,
        };
    }

    private static double? RelativeSd(TraceKeys keys, string key) => keys.Number(key, Range.FromNothing(MostRelativeSd));

    private static double? OneOf(TraceKeys keys, IEnumerable<string> names, Range range) =>
        names.Select(name => keys.Number(name, range)).FirstOrDefault(value => value is not null);

    /// <summary>A vessel that is drawn off by hand only fills in between, whatever the file calls it.</summary>
    private static VesselMode ModeOf(TraceKeys keys) => keys.Text("mode") switch
    {
        "fill" or null => VesselMode.Fill,
        "standpipe" => VesselMode.Standpipe,
        _ when keys.Items("discards").Any() => VesselMode.Fill,
        var other => throw new InvalidDataException($"prior.mode: '{other}' is not fill or standpipe"),
    };

    /// <summary>Files name the amount in several ways; without a known name it is the one number left that is no spread. No more can be taken than the vessel holds.</summary>
    private static DrawOff DrawOffOf(TraceKeys keys, double brim)
    {
        var amount = Amounts.FirstOrDefault(keys.HasNumber)
            ?? keys.Numbers().FirstOrDefault(key => key != "t_s" && !key.EndsWith("sd", StringComparison.Ordinal))
            ?? Amounts[0];
        var millilitres = amount.EndsWith("_mL", StringComparison.Ordinal);
        var sd = keys.Numbers().FirstOrDefault(key => key == "rel_sd" || key.EndsWith("_rel_sd", StringComparison.Ordinal));
        return new DrawOff(
            keys.Need("t_s", Time),
            keys.Need(amount, Range.FromNothing(millilitres ? 1000 * brim : brim)) / (millilitres ? 1000 : 1),
            sd is null ? 0.05 : keys.Need(sd, Range.FromNothing(1)));
    }
}
