using System.Globalization;
using System.IO.Compression;
using System.Text;
using System.Text.Json;
using Evenwater.Core;
using Evenwater.Core.Estimation;
using Evenwater.Nights.Scoring;

namespace Evenwater.Nights.Plant;

/// <summary>Writes nights as files that any judge can read: NAME.csv.gz, NAME.truth.csv.gz and NAME.meta.json.</summary>
public static class NightFolder
{
    private static readonly JsonSerializerOptions Indented = new() { WriteIndented = true };

    private static readonly (string Name, Channel Channel, string Format)[] Columns =
    [
        ("bucket_ec25_uScm", Channel.VesselConductivity, "0.#"),
        ("bucket_temp_C", Channel.VesselTemperature, "0.##"),
        ("tank_ec25_uScm", Channel.TankConductivity, "0.#"),
        ("tank_temp_C", Channel.TankTemperature, "0.##"),
        ("float_low", Channel.FloatLow, "0"),
        ("float_high", Channel.FloatHigh, "0"),
        ("valve_open", default, ""),
        ("drops", Channel.Drops, "0"),
        ("mass_kg", Channel.Mass, "0.###"),
        ("level_mm", Channel.Level, "0.#"),
    ];

    public static void Write(string folder, Night night, int seed)
    {
        Directory.CreateDirectory(folder);
        var path = Path.Combine(folder, night.Name);
        File.WriteAllText(path + ".meta.json", JsonSerializer.Serialize(Meta(night, seed), Indented) + "\n");
        Pack(path + ".csv.gz", text => Rows(text, night));
        Pack(path + ".truth.csv.gz", text => Truth(text, night.Truth!));
    }

    private static void Pack(string path, Action<StringBuilder> write)
    {
        var text = new StringBuilder();
        write(text);
        using var stream = new GZipStream(File.Create(path), CompressionLevel.Fastest);
        stream.Write(Encoding.UTF8.GetBytes(text.ToString()));
    }

    /// <summary>Of the counters and scales only those that are there have a column.</summary>
    private static void Rows(StringBuilder text, Night night)
    {
        var columns = Columns.Where((c, i) => i < 7 || night.Rows[0].Readings[c.Channel].Reason != Reason.NotFitted).ToArray();
        text.Append("t_s,").AppendJoin(',', columns.Select(c => c.Name)).Append('\n');
        foreach (var row in night.Rows)
        {
            text.Append(CultureInfo.InvariantCulture, $"{row.Seconds:0.###}");
            foreach (var (name, channel, format) in columns)
            {
                text.Append(',');
                if (name == "valve_open")
                {
                    text.Append(row.ValveOpen ? '1' : '0');
                }
                else if (row.Readings[channel].TryGet(out var value))
                {
                    text.Append(value.ToString(format, CultureInfo.InvariantCulture));
                }
            }

            text.Append('\n');
        }
    }

    private static void Truth(StringBuilder text, NightTruth truth)
    {
        text.Append("t_s,V_L,q_mLmin,C_uScm,Ct_uScm\n");
        foreach (var row in truth.Rows)
        {
            text.Append(CultureInfo.InvariantCulture, $"{row.Seconds:0.###},{row.Litres:0.00000},{row.MillilitresPerMinute:0.0000},{row.Vessel:0.000},{row.Tank:0.000}\n");
        }
    }

    private static object Meta(Night night, int seed) => new
    {
        schema = "drip-truth/1.0",
        family = night.Family,
        seed,
        prior = Prior(night.Prior, night.Rows),
        truth = new
        {
            t_match_s = night.MatchSeconds,
            t_brim_s = night.BrimSeconds,
            t_spill_s = night.Truth!.SpillSeconds,
            t_end_s = night.Truth.EndSeconds,
            V0_L = night.Truth.StartLitres,
            Vmax_L = night.Truth.BrimLitres,
            V_limit_L = night.Truth.MarkLitres,
            standpipe_L = night.Truth.StandpipeLitres,
            q0_mLmin = night.Truth.StartMillilitresPerMinute,
            C0_uScm = night.Truth.StartVessel,
            Ct0_uScm = night.Truth.StartTank,
            events = night.Truth.Events.Select(Event),
        },
    };

    private static object Prior(Prior prior, IReadOnlyList<Hardware.Trace.TraceRow> rows) => new
    {
        sample_period_s = rows[1].Seconds - rows[0].Seconds,
        mode = prior.Mode == VesselMode.Standpipe ? "standpipe" : "fill",
        V0_guess_L = prior.StartVolumeLitres,
        V0_rel_sd = prior.StartVolumeRelativeSd,
        Vmax_nominal_L = prior.BrimLitres,
        Vmax_rel_sd = prior.BrimRelativeSd,
        freeboard_L = prior.FreeboardLitres,
        standpipe_L = prior.StandpipeLitres,
        standpipe_rel_sd = prior.StandpipeLitres is null ? null : (double?)prior.StandpipeRelativeSd,
        q_guess_mLmin = prior.FlowMillilitresPerMinute,
        q_guess_rel_sd = prior.FlowRelativeSd,
        float_low_L = prior.FloatLowLitres,
        float_high_L = prior.FloatHighLitres,
        float_sd_L = prior.FloatSdLitres,
        bucket_area_m2 = prior.VesselAreaSquareMetres,
        bucket_height_m = prior.BrimLitres / 1000 / prior.VesselAreaSquareMetres,
        gain_ratio_rel_sd = prior.GainRatioRelativeSd,
        tol_uScm = prior.ToleranceMicrosiemensPerCm,
        quantisation_uScm = prior.QuantisationMicrosiemensPerCm,
        valve_fails = prior.ValveClosesOnPowerLoss ? "closed" : "stays",
        valve_commands = prior.ValveCommands.Select(c => new { t_s = c.AtSeconds, open = c.Open ? 1 : 0 }),
        discards = prior.DrawOffs.Select(d => new { t_s = d.AtSeconds, L = d.Litres, rel_sd = d.RelativeSd }),
        drop_mL_nominal = prior.DropMillilitres,
        drop_rel_sd = prior.DropRelativeSd,
        mass_tare_sd_kg = prior.LoadCellTareSdKilograms,
        level_offset_sd_mm = prior.LevelOffsetSdMillimetres,
        tank_guess_uScm = prior.TankMicrosiemensPerCm,
        tank_guess_rel_sd = prior.TankMicrosiemensPerCm is null ? null : (double?)prior.TankRelativeSd,
        room_temp_C = prior.RoomCelsius,
    };

    private static Dictionary<string, object> Event(TrueEvent happened)
    {
        var keys = new Dictionary<string, object> { ["t_s"] = happened.AtSeconds, ["kind"] = happened.Kind };
        if (happened.Probe is { } probe)
        {
            keys["probe"] = probe;
        }

        if (happened.Factor is { } factor)
        {
            keys["factor"] = factor;
        }

        return keys;
    }
}
