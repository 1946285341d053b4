using System.Text.Json;
using Evenwater.Core.Estimation;

namespace Evenwater.Hardware.Trace;

/// <summary>
/// Reads what the keeper knew from the description beside a trace (NAME.meta.json, its "prior"). The "truth" of such a file is
/// never looked at here.
/// </summary>
public static class TracePrior
{
    /// <summary>Reads the prior of a NAME.meta.json.</summary>
    /// <exception cref="InvalidDataException">Not JSON, or a key is missing or of the wrong kind: the message names it.</exception>
    public static Prior Read(string path)
    {
        try
        {
            using var document = JsonDocument.Parse(File.ReadAllBytes(path));
            return document.RootElement.ValueKind == JsonValueKind.Object && document.RootElement.TryGetProperty("prior", out var prior)
                ? Convert(new Keys(prior, "prior"))
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

    private static Prior Convert(Keys keys) => new()
    {
        Mode = keys.Text("mode") switch
        {
            "fill" or null => VesselMode.Fill,
            "standpipe" => VesselMode.Standpipe,
            var other => throw new InvalidDataException($"prior.mode: '{other}' is not fill or standpipe"),
        },
        StartVolumeLitres = keys.Positive("V0_guess_L"),
        StartVolumeRelativeSd = keys.Number("V0_rel_sd") ?? 0.1,
        BrimLitres = keys.Positive("Vmax_nominal_L"),
        BrimRelativeSd = keys.Number("Vmax_rel_sd") ?? 0.015,
        FreeboardLitres = keys.Number("freeboard_L") ?? 0,
        StandpipeLitres = keys.Number("standpipe_L"),
        StandpipeRelativeSd = keys.Number("standpipe_rel_sd") ?? 0.02,
        FlowMillilitresPerMinute = keys.Number("q_guess_mLmin"),
        FlowRelativeSd = keys.Number("q_guess_rel_sd") ?? 0.1,
        FloatLowLitres = keys.Number("float_low_L"),
        FloatHighLitres = keys.Number("float_high_L"),
        FloatSdLitres = keys.Number("float_sd_L") ?? 0.12,
        VesselAreaSquareMetres = keys.Number("bucket_area_m2"),
        GainRatioRelativeSd = keys.Number("gain_ratio_rel_sd") ?? 0.021,
        ToleranceMicrosiemensPerCm = keys.Positive("tol_uScm"),
        QuantisationMicrosiemensPerCm = keys.Number("quantisation_uScm") ?? 0.1,
        ValveClosesOnPowerLoss = keys.Text("valve_fails") != "stays",
        ValveCommands = [.. keys.Items("valve_commands").Select(c => new ValveCommand(c.Need("t_s"), c.Need("open") > 0))],
        DrawOffs = [.. keys.Items("discards").Select(d => new DrawOff(
            d.Need("t_s"),
            d.Number("L") ?? d.Number("V_L") ?? d.Need("volume_L"),
            d.Number("rel_sd") ?? 0.05))],
        DropMillilitres = keys.Number("drop_mL_nominal") ?? 0.05,
        DropRelativeSd = keys.Number("drop_rel_sd") ?? 0.12,
    };

    /// <summary>The keys of one JSON object, with errors that name the path.</summary>
    private readonly record struct Keys(JsonElement Element, string Path)
    {
        public string? Text(string key) => !Has(key, out var value) ? null
            : value.ValueKind == JsonValueKind.String ? value.GetString()
            : throw new InvalidDataException($"{Path}.{key}: {value.GetRawText()} is not a text");

        public double? Number(string key) => !Has(key, out var value) ? null
            : value.ValueKind == JsonValueKind.Number && value.TryGetDouble(out var number) && double.IsFinite(number) ? number
            : throw new InvalidDataException($"{Path}.{key}: {value.GetRawText()} is not a number");

        public double Need(string key) => Number(key) ?? throw new InvalidDataException($"{Path}.{key} is missing; a number is needed");

        public double Positive(string key) => Need(key) is > 0 and var number ? number
            : throw new InvalidDataException($"{Path}.{key}: {Need(key)} is not more than 0");

        public IEnumerable<Keys> Items(string key)
        {
            if (!Has(key, out var value))
            {
                return [];
            }

            var path = $"{Path}.{key}";
            return value.ValueKind == JsonValueKind.Array
                ? value.EnumerateArray().Select((item, i) => new Keys(item, $"{path}[{i}]"))
                : throw new InvalidDataException($"{path}: {value.GetRawText()} is not a list");
        }

        private bool Has(string key, out JsonElement value)
        {
            value = default;
            return Element.ValueKind == JsonValueKind.Object
                ? Element.TryGetProperty(key, out value) && value.ValueKind != JsonValueKind.Null
                : throw new InvalidDataException($"{Path} is not an object");
        }
    }
}
