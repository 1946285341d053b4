using System.Globalization;
using System.IO.Compression;
using Evenwater.Scoring;

namespace Evenwater.Nights.Judging;

/// <summary>
/// How restless the drips and the probes of a folder of traces are, by their truth: so that nights of our own are neither calmer nor wilder than those that were
/// recorded. Fresh waters only; a night's own straight line in ln flow is taken out, and so is every pause.
/// </summary>
internal static class Likeness
{
    /// <summary>Below this share of the night's median flow the valve was closed.</summary>
    private const double Paused = 0.3;

    /// <summary>A larger step is an event, not restlessness.</summary>
    private const double Event = 0.35;
    private const double MarineFrom = 5000;
    private const double ProbeSeconds = 150;

    private static readonly double[] Lags = [75, 600, 3600, 10_800];
    private static readonly string[] Events = ["flow_jump", "slow_clog", "tank_change", "swapped", "probe_drift"];

    /// <summary>The table, as read as it is as in a Markdown file.</summary>
    public static IEnumerable<string> Of(string folder)
    {
        var nights = TracePlace.In(folder).Where(p => p.Truth is not null && !(p.ReadTruth().Truth?.Events ?? []).Any(e => Events.Contains(e.Kind)))
            .Select(p => (Truth: Columns(p.Truth!), Seen: Columns(p.Data), Brim: p.ReadTruth().Truth!.BrimSeconds)).Where(n => n.Truth["Ct_uScm"][0] < MarineFrom).ToArray();
        yield return "| what | " + string.Join(" | ", Lags.Select(s => $"{s:0} s")) + " |";
        yield return "|---|" + string.Concat(Lags.Select(_ => "---|"));
        yield return Row("ln flow", nights.Select(n => Differences(Straightened(n.Truth), Step(n.Truth))));
        yield return Row("ln of the vessel probe over the truth, by 150 s", nights.Select(n => Differences(Gain(n, "bucket_ec25_uScm", "C_uScm"), ProbeSeconds)));
        yield return Row("ln of the tank probe over the truth, by 150 s", nights.Select(n => Differences(Gain(n, "tank_ec25_uScm", "Ct_uScm"), ProbeSeconds)));
        yield return "";
        var steps = nights.SelectMany(n => Standardised(Straightened(n.Truth))).ToArray();
        yield return $"{nights.Length} fresh nights without an event of flow, tank or probe. Steps of ln flow beyond 4 of a night's sd: {1e4 * steps.Count(s => Math.Abs(s) > 4) / steps.Length:0.0} in 10,000 (0.6 if normal). "
            + $"Hours to the brim, median: {Median(nights.Select(n => (n.Brim ?? double.NaN) / 3600)):0.0}.";
    }

    private static string Row(string what, IEnumerable<double[]> nights)
    {
        var all = nights.ToArray();
        return $"| {what} | " + string.Join(" | ", Lags.Select((_, i) => Median(all.Select(n => n[i])) is var m && double.IsNaN(m) ? "-" : m.ToString("0.0000", CultureInfo.InvariantCulture))) + " |";
    }

    /// <summary>For each lag the sd of the differences over it.</summary>
    private static double[] Differences(double[] values, double step) => [.. Lags.Select(lag =>
    {
        var by = Math.Max(1, (int)Math.Round(lag / step));
        var all = Enumerable.Range(0, Math.Max(values.Length - by, 0)).Select(i => values[i + by] - values[i]).Where(d => Math.Abs(d) < Event).ToArray();
        return lag < step || all.Length < 4 ? double.NaN : Sd(all);
    })];

    private static double Step(Dictionary<string, double[]> truth) => truth["t_s"][1] - truth["t_s"][0];

    /// <summary>ln flow less its straight line; not a number while the valve is closed.</summary>
    private static double[] Straightened(Dictionary<string, double[]> truth)
    {
        var (time, flow) = (truth["t_s"], truth["q_mLmin"]);
        var least = Paused * Median(flow.Where(q => q > 0));
        var ln = flow.Select(q => q > least ? Math.Log(q) : double.NaN).ToArray();
        var open = Enumerable.Range(0, ln.Length).Where(i => !double.IsNaN(ln[i])).ToArray();
        var (t, y) = (open.Average(i => time[i]), open.Average(i => ln[i]));
        var slope = open.Sum(i => (time[i] - t) * (ln[i] - y)) / open.Sum(i => (time[i] - t) * (time[i] - t));
        return [.. ln.Select((v, i) => v - y - (slope * (time[i] - t)))];
    }

    private static IEnumerable<double> Standardised(double[] values)
    {
        var steps = Enumerable.Range(1, values.Length - 1).Select(i => values[i] - values[i - 1]).Where(double.IsFinite).ToArray();
        var sd = Sd(steps);
        return steps.Select(s => s / sd);
    }

    /// <summary>Means over 150 s of what the probe reads over what is true, ln, from the second hour on.</summary>
    private static double[] Gain((Dictionary<string, double[]> Truth, Dictionary<string, double[]> Seen, double? Brim) night, string seen, string truth)
    {
        var (times, values) = (night.Truth["t_s"], night.Truth[truth]);
        return [.. night.Seen["t_s"].Select((t, i) => (t, Ln: Math.Log(night.Seen[seen][i] / At(times, values, t))))
            .Where(r => r.t > 3600 && Math.Abs(r.Ln) < 0.12).GroupBy(r => (int)(r.t / ProbeSeconds)).Select(g => g.Average(r => r.Ln))];
    }

    private static double At(double[] times, double[] values, double t)
    {
        var i = Math.Clamp((int)((t - times[0]) / (times[1] - times[0])), 0, times.Length - 2);
        return values[i] + ((values[i + 1] - values[i]) * Math.Clamp((t - times[i]) / (times[i + 1] - times[i]), 0, 1));
    }

    private static double Sd(double[] values) => values.Average() is var mean ? Math.Sqrt(values.Average(v => (v - mean) * (v - mean))) : 0;

    private static double Median(IEnumerable<double> values) => values.Where(double.IsFinite).Order().ToArray() is { Length: > 0 } all ? all[all.Length / 2] : double.NaN;

    private static Dictionary<string, double[]> Columns(string file)
    {
        using var raw = File.OpenRead(file);
        using var reader = new StreamReader(file.EndsWith(".gz", StringComparison.Ordinal) ? new GZipStream(raw, CompressionMode.Decompress) : raw);
        var names = reader.ReadLine()!.Split(',');
        var columns = names.Select(_ => new List<double>()).ToArray();
        while (reader.ReadLine() is { } line)
        {
            var cells = line.Split(',');
            for (var i = 0; i < names.Length; i++)
            {
                columns[i].Add(i < cells.Length && double.TryParse(cells[i], CultureInfo.InvariantCulture, out var value) ? value : double.NaN);
            }
        }

        return names.Zip(columns, (name, column) => (name, column)).ToDictionary(c => c.name, c => c.column.ToArray());
    }
}
