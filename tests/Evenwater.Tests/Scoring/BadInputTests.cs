using System.Globalization;
using System.Text;

namespace Evenwater.Tests.Scoring;

/// <summary>Traces as bad as they come: score and replay say what was left out, and go on.</summary>
public sealed class BadInputTests
{
    public static TheoryData<string, string?> Cases => new()
    {
        { "gap", null },
        { "gap after a whole block", null },
        { "long gap", null },
        { "duplicate time", "line 13, t_s: '50' is not later than the row before (50 s)" },
        { "time going back", "line 13, t_s: '20' is not later than the row before (50 s)" },
        { "time leaping", "line 12, t_s: '300000000' is not before the row that follows it (55 s)" },
        { "text", "line 12, bucket_ec25_uScm: 'wet' is not a finite number or empty" },
        { "nan", "line 12, bucket_ec25_uScm: 'NaN' is not a finite number or empty" },
        { "beyond all numbers", "line 12, bucket_ec25_uScm: '1e999' is not a finite number or empty" },
        { "huge", null },
        { "negative", null },
        { "huge everywhere", null },
        { "short row", "line 12, bucket_temp_C: 'nothing' is not a field" },
        { "long row", "line 12, after the last column: '9' is not expected" },
        { "float of 2", "line 12, float_high: '2' is not 0, 1 or empty" },
        { "empty vessel column", null },
        { "empty tank column", null },
        { "all columns empty", null },
        { "no tank probe", null },
        { "no probe at all", null },
        { "swapped probes", null },
        { "unknown column", null },
        { "carriage returns", null },
        { "byte order mark", null },
        { "no last line end", null },
    };

    [Theory]
    [MemberData(nameof(Cases))]
    public void A_bad_trace_is_forecast_as_far_as_it_goes_and_what_was_left_out_is_told(string what, string? told)
    {
        using var folder = Make(what);
        var score = TraceFolder.Run("score", folder.Path, "--forecasts", folder.File("out"));
        Assert.Equal((0, true), (score.Code, score.Output.Contains("1 trace forecast", StringComparison.Ordinal)));
        var replay = TraceFolder.Run("replay", "--trace", folder.File("bad.csv"), "--station", folder.File("bad.meta.json"), "--out", folder.File("replayed.csv"));
        Assert.Equal(0, replay.Code);
        Assert.Contains(told is null ? ", 0 rejected" : ", 1 rejected", replay.Output, StringComparison.Ordinal);
        Assert.Equal(folder.Text(System.IO.Path.Combine("out", "bad.forecast.csv")), folder.Text("replayed.csv"));
        if (told is null)
        {
            Assert.DoesNotContain("ejected", score.Error, StringComparison.Ordinal);
        }
        else
        {
            Assert.Contains($"bad: rejected {told}", score.Error, StringComparison.Ordinal);
            Assert.Contains($"Rejected {told}", replay.Error, StringComparison.Ordinal);
        }

        Sound(folder.Text("replayed.csv"));
    }

    [Theory]
    [InlineData("header only", "0 rows read, 0 rejected")]
    [InlineData("one row", "1 row read, 0 rejected")]
    [InlineData("two minutes apart", "31 rows read, 0 rejected; the first forecast comes after half a minute of rows that can be read, and rows more than 90 s apart are gaps")]
    [InlineData("all rows bad", "0 rows read, 101 rejected (first: line 2, t_s: 'x' is not a finite number")]
    public void A_trace_too_short_for_a_forecast_is_told_and_the_others_are_forecast(string what, string told)
    {
        using var folder = Make(what).Add("good", TraceFolder.Rows(600));
        var (code, output, error) = TraceFolder.Run("score", folder.Path);
        Assert.Equal(1, code);
        Assert.Contains($"bad: not forecast: nothing was forecast: {told}", error, StringComparison.Ordinal);
        Assert.Contains("1 trace forecast", output, StringComparison.Ordinal);
        var replay = TraceFolder.Run("replay", "--trace", folder.File("bad.csv"), "--station", folder.File("bad.meta.json"), "--out", folder.File("replayed.csv"));
        Assert.Equal(1, replay.Code);
        Assert.Contains("Nothing was forecast", replay.Error, StringComparison.Ordinal);
    }

    /// <summary>Taken for what never happened, or for the end of all time, it was judged by, and told as NaN.</summary>
    [Theory]
    [InlineData("\"t_match_s\":\"soon\"", "truth.t_match_s: \"soon\" is not a number")]
    [InlineData("\"t_brim_s\":1e999", "truth.t_brim_s: 1e999 is not a number from -1000000000 to 1000000000")]
    [InlineData("\"events\":[{\"t_s\":true,\"kind\":\"leak\"}]", "truth.t_s: true is not a number")]
    public void A_truth_that_is_no_number_is_refused_and_judges_nothing(string truth, string told)
    {
        using var folder = new TraceFolder().Add("bad", TraceFolder.Rows(120), truth: $"{{{truth}}}").Add("good", TraceFolder.Rows(120));
        var (code, output, error) = TraceFolder.Run("score", folder.Path);
        Assert.Equal(1, code);
        Assert.Contains($"bad.meta.json: {told}", error, StringComparison.Ordinal);
        Assert.Contains("1 trace forecast", output, StringComparison.Ordinal);
    }

    /// <summary>As editors of some systems write it.</summary>
    [Fact]
    public void A_description_may_begin_with_a_byte_order_mark()
    {
        using var folder = new TraceFolder().Add("night", TraceFolder.Rows(120));
        File.WriteAllText(folder.File("night.meta.json"), folder.Text("night.meta.json"), new System.Text.UTF8Encoding(encoderShouldEmitUTF8Identifier: true));
        var (code, _, error) = TraceFolder.Run("score", folder.Path);
        Assert.Equal((0, ""), (code, error));
    }

    [Fact]
    public void A_gap_is_no_restart_and_trips_nothing_by_itself()
    {
        foreach (var what in new[] { "gap", "gap after a whole block" })
        {
            using var folder = Make(what);
            Assert.Equal("", folder.Scored("bad")["trip"]);
            var file = folder.File("bad.forecast.csv");
            Assert.Equal(0, TraceFolder.Run("score", folder.Path, "--forecasts", folder.Path).Code);
            Assert.DoesNotContain(File.ReadAllLines(file).Skip(1), l => double.Parse(l.Split(',')[0], CultureInfo.InvariantCulture) is > 400 and < 4025);
        }
    }

    [Fact]
    public void An_absurd_value_is_a_reason_and_not_a_number_to_reckon_with()
    {
        using var folder = Make("huge").Add("good", TraceFolder.Rows(600));
        Assert.Equal(0, TraceFolder.Run("score", folder.Path, "--forecasts", folder.File("out")).Code);
        var good = folder.Text(System.IO.Path.Combine("out", "good.forecast.csv")).Split('\n');
        var bad = folder.Text(System.IO.Path.Combine("out", "bad.forecast.csv")).Split('\n');
        Assert.Equal(good.Length, bad.Length);
        Assert.Equal(Volume(good[^2]), Volume(bad[^2]), 0.05);
    }

    private static double Volume(string row) => double.Parse(row.Split(',')[2], CultureInfo.InvariantCulture);

    /// <summary>Every row of a forecast file is whole, in order, and its quantiles rise.</summary>
    private static void Sound(string file)
    {
        var lines = file.TrimEnd('\n').Split('\n');
        Assert.True(lines.Length > 1);
        var columns = lines[0].Split(',').Length;
        var last = double.NegativeInfinity;
        foreach (var line in lines.Skip(1))
        {
            var fields = line.Split(',');
            Assert.Equal(columns, fields.Length);
            var numbers = fields.Take(17).Select(f => f.Length == 0 ? double.PositiveInfinity : double.Parse(f, CultureInfo.InvariantCulture)).ToArray();
            Assert.DoesNotContain(numbers, double.IsNaN);
            Assert.True(numbers[0] > last, line);
            last = numbers[0];
            foreach (var (from, count) in new[] { (1, 3), (4, 3), (7, 5), (12, 5) })
            {
                Assert.Equal(numbers.Skip(from).Take(count).Order(), numbers.Skip(from).Take(count));
            }

            Assert.Contains(fields[18], new[] { "open", "closed" });
            Assert.Equal(fields[18] == "closed", fields[19].Length > 0);
            Assert.Matches("^(ok|(degraded|blind)( .*)?)$", fields[20]);
        }
    }

    private static TraceFolder Make(string what)
    {
        const int bad = 10;
        var rows = TraceFolder.Rows(600);
        var header = TraceFolder.Header;
        string[] fields = rows[bad].Split(',');
        string Changed(int field, string value) => string.Join(',', fields.Select((f, i) => i == field ? value : f));
        string Everywhere(string row, int field, string value) => string.Join(',', row.Split(',').Select((f, i) => i == field ? value : f));
        var newLine = "\n";
        switch (what)
        {
            case "two minutes apart": rows = TraceFolder.Rows(3600, 120); break;
            case "gap": rows = [.. TraceFolder.Rows(400), .. After(4000, 400)]; break;
            case "gap after a whole block": rows = [.. TraceFolder.Rows(390), .. After(4000, 390)]; break;
            case "long gap": rows.AddRange(After(5e7, 600)); break;
            case "duplicate time": rows.Insert(bad, rows[bad]); break;
            case "time going back": rows.Insert(bad + 1, Changed(0, "20")); break;
            case "time leaping": rows[bad] = Changed(0, "3e8"); break;
            case "text": rows[bad] = Changed(1, "wet"); break;
            case "nan": rows[bad] = Changed(1, "NaN"); break;
            case "beyond all numbers": rows[bad] = Changed(1, "1e999"); break;
            case "huge": rows[bad] = Changed(1, "1e9"); break;
            case "negative": rows[bad] = Changed(1, "-5"); break;
            case "huge everywhere": rows[bad] = $"50,1e9,1e9,1e9,1e9,,0,1"; break;
            case "short row": rows[bad] = "50,300"; break;
            case "long row": rows[bad] += ",9"; break;
            case "float of 2": rows[bad] = Changed(6, "2"); break;
            case "empty vessel column": rows = [.. rows.Select(r => Everywhere(r, 1, ""))]; break;
            case "empty tank column": rows = [.. rows.Select(r => Everywhere(r, 3, ""))]; break;
            case "all columns empty": rows = [.. rows.Select(r => $"{r.Split(',')[0]},,,,,,,")]; break;
            case "no tank probe": (header, rows) = Only(header, rows, 0, 1, 2, 6, 7); break;
            case "no probe at all": (header, rows) = Only(header, rows, 0, 7); break;
            case "swapped probes": rows = Only(header, rows, 0, 3, 4, 1, 2, 5, 6, 7).Rows; break;
            case "unknown column": header += ",ph"; rows = [.. rows.Select(r => $"{r},7.1")]; break;
            case "carriage returns": newLine = "\r\n"; break;
            case "byte order mark": header = $"\uFEFF{header}"; break;
            case "header only": rows = []; break;
            case "one row": rows = [rows[0]]; break;
            case "all rows bad": rows = [.. Enumerable.Repeat("x,1,1,1,1,,0,1", 101)]; break;
            case "no last line end": break;
            default: throw new ArgumentOutOfRangeException(nameof(what), what, "no such case");
        }

        var folder = new TraceFolder().Add("bad", rows, header: header, newLine: newLine);
        if (what == "no last line end")
        {
            File.WriteAllText(folder.File("bad.csv"), folder.Text("bad.csv").TrimEnd('\n'), new UTF8Encoding(false));
        }

        return folder;
    }

    /// <summary>Five minutes after a power cut, in which the valve was closed.</summary>
    private static IEnumerable<string> After(double start, double last) =>
        Enumerable.Range(0, 60).Select(i => TraceFolder.Row(start + (5 * i), closed: start - last));

    private static (string Header, List<string> Rows) Only(string header, List<string> rows, params int[] columns)
    {
        string Pick(string line)
        {
            var fields = line.Split(',');
            return string.Join(',', columns.Select(c => fields[c]));
        }

        return (Pick(header), [.. rows.Select(Pick)]);
    }
}
