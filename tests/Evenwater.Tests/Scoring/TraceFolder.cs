using System.CommandLine;
using System.Globalization;
using System.Text;
using Evenwater.Commands;

namespace Evenwater.Tests.Scoring;

/// <summary>
/// A folder of made-up traces. A vessel of 2 L at 400 µS/cm fills at 30 mL/min from a tank at 200: by the closed form
/// C = 200 + 200 · 2/(2 + 0.03 t/60), even within 100 when V = 4 L, after 4,000 s; at the mark of 5 L after 6,000 s.
/// </summary>
internal sealed class TraceFolder : IDisposable
{
    public const string Header = "t_s,bucket_ec25_uScm,bucket_temp_C,tank_ec25_uScm,tank_temp_C,float_low,float_high,valve_open";
    public const string Truth = """{"t_match_s":4000,"t_brim_s":6000,"t_spill_s":8000,"V_limit_L":5,"Vmax_L":6,"events":[]}""";
    private const string Prior = """
        "mode":"fill","V0_guess_L":2,"V0_rel_sd":0.05,"Vmax_nominal_L":6,"Vmax_rel_sd":0.01,"freeboard_L":1,"q_guess_mLmin":30,"q_guess_rel_sd":0.1,
        "float_low_L":null,"float_high_L":5.5,"float_sd_L":0.1,"tol_uScm":100,"quantisation_uScm":0.1,"gain_ratio_rel_sd":0.01
        """;

    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("traces");

    public string Path => _folder.FullName;

    public string File(string name) => System.IO.Path.Combine(Path, name);

    public string Text(string name) => System.IO.File.ReadAllText(File(name));

    /// <summary>Rows from 0 to <paramref name="seconds"/>, every <paramref name="step"/> s.</summary>
    public static List<string> Rows(double seconds, double step = 5)
    {
        var rows = new List<string>();
        for (var t = 0.0; t <= seconds; t += step)
        {
            rows.Add(Row(t));
        }

        return rows;
    }

    /// <summary>The row of a moment; before it the valve was without power for <paramref name="closed"/> s.</summary>
    public static string Row(double at, double closed = 0)
    {
        var t = at - closed;
        var ripple = Math.Sin(t * 0.7) * 0.4;
        var vessel = 200 + (200 * 2 / (2 + (0.03 * t / 60))) + ripple;
        return string.Create(CultureInfo.InvariantCulture, $"{at:0.###},{vessel:0.0},23.{(int)t % 10},{200 + (0.3 * Math.Sin(t * 1.3)):0.0},23.4,,0,1");
    }

    /// <summary>Adds a trace with its description.</summary>
    public TraceFolder Add(string name, IEnumerable<string> rows, string? truth = Truth, string header = Header, string change = "", string newLine = "\n", string kind = "made up")
    {
        System.IO.File.WriteAllText(File($"{name}.csv"), string.Join(newLine, [header, .. rows]) + newLine, new UTF8Encoding(false));
        System.IO.File.WriteAllText(File($"{name}.meta.json"), $"{{\"family\":\"{kind}\",\"prior\":{{{Prior}{change}}}{(truth is null ? "" : $",\"truth\":{truth}")}}}");
        return this;
    }

    /// <summary>Runs the program's command line in this process.</summary>
    public static (int Code, string Output, string Error) Run(params string[] arguments)
    {
        var (output, error) = (new StringWriter(), new StringWriter());
        var code = Root.Create().Parse(arguments).Invoke(new InvocationConfiguration { Output = output, Error = error });
        return (code, output.ToString(), error.ToString());
    }

    /// <summary>Scores this folder with one row a trace, and gives the fields of one of them by column.</summary>
    public Dictionary<string, string> Scored(string name)
    {
        var csv = File("scores.csv");
        Assert.Equal(0, Run("score", Path, "--csv", csv).Code);
        var lines = System.IO.File.ReadAllLines(csv);
        var row = Assert.Single(lines, l => l.StartsWith($"{name},", StringComparison.Ordinal)).Split(',');
        return lines[0].Split(',').Zip(row).ToDictionary(p => p.First, p => p.Second);
    }

    public void Dispose() => _folder.Delete(recursive: true);
}
