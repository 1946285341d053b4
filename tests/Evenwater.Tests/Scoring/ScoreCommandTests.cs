using Evenwater.Commands;

namespace Evenwater.Tests.Scoring;

/// <summary>The command as its user meets it.</summary>
public sealed class ScoreCommandTests
{
    [Fact]
    public void A_plain_night_is_forecast_by_its_closed_form_and_judged_by_its_truth()
    {
        using var folder = new TraceFolder().Add("night-1", TraceFolder.Rows(7000));
        var scores = folder.Scored("night-1");
        Assert.Equal(("4000", "6000", "8000"), (scores["match_s"], scores["brim_s"], scores["spill_s"]));
        foreach (var moment in new[] { "brim25", "brim50", "brim75", "match25", "match50", "match75" })
        {
            Assert.Equal("1", scores[$"{moment}_covered"]);
            Assert.InRange(double.Parse(scores[$"{moment}_error"]), 0, 0.25);
            Assert.InRange(double.Parse(scores[$"{moment}_crps"]), 0.0001, 0.3);
            Assert.InRange(double.Parse(scores[$"{moment}_pinball"]), 0.0001, 0.3);
        }

        Assert.Equal(("0", "0", "1", "0"), (scores["past_mark"], scores["over_rim"], scores["match_reachable"], scores["closed_before_match"]));
        Assert.InRange(double.Parse(scores["closed_s"]), 4000, 6000);
        Assert.Equal("overflow-forecast", scores["trip"]);
        Assert.InRange(double.Parse(scores["told_even_s"]), 4000, 7000);
        Assert.Equal("0", scores["told_even_too_soon"]);
    }

    [Theory]
    [InlineData("""{"t_match_s":4000,"t_brim_s":1000,"t_spill_s":2000}""", "1", "1", "0", "0")]
    [InlineData("""{"t_match_s":4000,"t_brim_s":1000,"t_spill_s":7900}""", "1", "0", "0", "0")]
    [InlineData("""{"t_match_s":6500,"t_brim_s":6900,"t_spill_s":null}""", "0", "0", "1", "1")]
    [InlineData("""{"t_match_s":6900,"t_brim_s":6500,"t_spill_s":null}""", "0", "0", "0", "0")]
    [InlineData("""{"t_match_s":6900,"t_brim_s":null,"t_spill_s":null}""", "0", "0", "1", "1")]
    [InlineData("""{"t_match_s":null,"t_brim_s":null,"t_spill_s":null}""", "0", "0", "0", "0")]
    public void Floods_and_early_closings_are_what_the_truth_says(string truth, string pastMark, string overRim, string reachable, string early)
    {
        using var folder = new TraceFolder().Add("night-1", TraceFolder.Rows(7000, 10), truth);
        var scores = folder.Scored("night-1");
        Assert.Equal((pastMark, overRim, reachable, early), (scores["past_mark"], scores["over_rim"], scores["match_reachable"], scores["closed_before_match"]));
    }

    [Theory]
    [InlineData("4000", "0")]
    [InlineData("6990", "1")]
    [InlineData("null", "1")]
    public void Whoever_is_told_that_the_waters_are_even_too_soon_is_counted(string matchSeconds, string tooSoon)
    {
        using var folder = new TraceFolder().Add("night-1", TraceFolder.Rows(7000, 10), $$"""{"t_match_s":{{matchSeconds}},"t_brim_s":null,"t_spill_s":null}""");
        Assert.Equal(tooSoon, folder.Scored("night-1")["told_even_too_soon"]);
        Assert.Contains($"Told even for ten minutes: {tooSoon} of 1 nights before they were.", TraceFolder.Run("score", folder.Path).Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(null)]
    [InlineData("null")]
    [InlineData("{}")]
    public void Without_truth_a_folder_is_only_forecast(string? truth)
    {
        using var folder = new TraceFolder().Add("night-1", TraceFolder.Rows(900), truth);
        var (code, output, error) = TraceFolder.Run("score", folder.Path, "--forecasts", folder.File("deep/out"), "--csv", folder.File("all.csv"));
        Assert.Equal((0, ""), (code, error));
        Assert.StartsWith("1 trace forecast, 0 judged, 1 without truth.", output, StringComparison.Ordinal);
        Assert.Equal(31, folder.Text("deep/out/night-1.forecast.csv").Split('\n').Length - 1);
        Assert.Equal(2, folder.Text("all.csv").Split('\n').Length - 1);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(7)]
    [InlineData(20)]
    [InlineData(29.5)]
    public void Every_half_minute_of_trace_has_its_forecast(double step)
    {
        using var folder = new TraceFolder().Add("night-1", TraceFolder.Rows(3000, step));
        Assert.Equal(0, TraceFolder.Run("score", folder.Path, "--forecasts", folder.Path).Code);
        var times = folder.Text("night-1.forecast.csv").Split('\n')[1..^1].Select(l => double.Parse(l.Split(',')[0])).ToArray();
        Assert.InRange(times.Zip(times.Skip(1), (a, b) => b - a).Max(), 0.001, 31);
        Assert.InRange(times[0], 0, 60);
        Assert.InRange(times[^1], 2969, 3000);
    }

    [Fact]
    public void The_decision_has_a_row_of_its_own_time_and_holds_from_then()
    {
        // The high float is wet from 1207 s on, in the midst of a half minute: believed after 5 s and a second row.
        var rows = TraceFolder.Rows(1500, 1).Select((r, t) => t < 1207 ? r : r.Replace(",0,1", ",1,1", StringComparison.Ordinal));
        using var folder = new TraceFolder().Add("night-1", rows);
        Assert.Equal(0, TraceFolder.Run("score", folder.Path, "--forecasts", folder.Path).Code);
        var lines = folder.Text("night-1.forecast.csv").Split('\n')[1..^1].Select(l => l.Split(',')).ToArray();
        var first = lines.First(l => l[18] == "closed");
        Assert.Equal(("1212", "high-float"), (first[0], first[19]));
        Assert.All(lines, l => Assert.Equal((double.Parse(l[0]) >= 1212 ? "closed" : "open", double.Parse(l[0]) >= 1212 ? "high-float" : ""), (l[18], l[19])));
        var before = lines.Last(l => l[18] == "open");
        Assert.Equal(double.Parse(before[9]) - 12, double.Parse(first[9]), 0.11);
    }

    [Fact]
    public void A_draw_off_is_told_when_its_time_has_come_and_not_before()
    {
        using var folder = new TraceFolder()
            .Add("without", TraceFolder.Rows(2000))
            .Add("with", TraceFolder.Rows(2000), change: ",\"discards\":[{\"t_s\":1000,\"L\":1.5,\"rel_sd\":0.02}]");
        Assert.Equal(0, TraceFolder.Run("score", folder.Path, "--forecasts", folder.Path).Code);
        Assert.Equal(0, TraceFolder.Run("replay", "--trace", folder.File("with.csv"), "--station", folder.File("with.meta.json"), "--out", folder.File("replayed.csv")).Code);
        var with = folder.Text("with.forecast.csv");
        Assert.Equal(with, folder.Text("replayed.csv"));
        var (a, b) = (folder.Text("without.forecast.csv").Split('\n')[1..^1], with.Split('\n')[1..^1]);
        for (var i = 0; i < a.Length; i++)
        {
            var seconds = double.Parse(a[i].Split(',')[0]);
            if (seconds < 1000)
            {
                Assert.Equal(a[i], b[i]);
            }
        }

        var at = Array.FindIndex(a, l => double.Parse(l.Split(',')[0]) >= 1030);
        Assert.InRange(double.Parse(a[at].Split(',')[2]) - double.Parse(b[at].Split(',')[2]), 1.2, 1.8);
    }

    [Fact]
    public void Two_draw_offs_between_two_rows_are_both_told()
    {
        using var folder = new TraceFolder()
            .Add("one", TraceFolder.Rows(1200), change: ",\"discards\":[{\"t_s\":1001,\"L\":1,\"rel_sd\":0.02}]")
            .Add("two", TraceFolder.Rows(1200), change: ",\"discards\":[{\"t_s\":1001,\"L\":0.5,\"rel_sd\":0.02},{\"t_s\":1002,\"L\":0.5,\"rel_sd\":0.02}]")
            .Add("none", TraceFolder.Rows(1200));
        Assert.Equal(0, TraceFolder.Run("score", folder.Path, "--forecasts", folder.Path).Code);
        double Volume(string name) => double.Parse(folder.Text($"{name}.forecast.csv").Split('\n')[^2].Split(',')[2]);
        Assert.Equal(Volume("one"), Volume("two"), 0.03);
        Assert.Equal(Volume("none") - 1, Volume("two"), 0.15);
    }

    [Fact]
    public void The_same_folder_gives_the_same_answer_however_many_run_at_once()
    {
        using var folder = new TraceFolder();
        for (var i = 1; i <= 6; i++)
        {
            folder.Add($"night-{i}", TraceFolder.Rows(500 + (300 * i)), kind: $"kind {i % 2}");
        }

        var texts = new[] { "1", "2", "5" }.Select(jobs =>
        {
            Assert.Equal(0, TraceFolder.Run("score", folder.Path, "--jobs", jobs, "--forecasts", folder.File(jobs), "--csv", folder.File($"{jobs}.csv")).Code);
            return string.Concat(Enumerable.Range(1, 6).Select(i => folder.Text($"{jobs}/night-{i}.forecast.csv"))) + folder.Text($"{jobs}.csv");
        });
        Assert.Single(texts.Distinct());
        Assert.Equal(Enumerable.Range(1, 6).Select(i => $"night-{i}"), File.ReadLines(folder.File("5.csv")).Skip(1).Select(l => l.Split(',')[0]));
    }

    [Fact]
    public void An_impossible_prior_is_refused_by_key_and_the_other_traces_are_done()
    {
        using var folder = new TraceFolder()
            .Add("bad", TraceFolder.Rows(300), change: ",\"V0_rel_sd\":-0.5")
            .Add("good", TraceFolder.Rows(300));
        File.WriteAllText(folder.File("text.meta.json"), "{");
        File.WriteAllText(folder.File("alone.meta.json"), folder.Text("good.meta.json"));
        var (code, output, error) = TraceFolder.Run("score", folder.Path, "--forecasts", folder.Path);
        Assert.Equal(1, code);
        Assert.Contains("bad.meta.json: prior.V0_rel_sd: -0.5 is not allowed; allowed is 0 to 2", error, StringComparison.Ordinal);
        Assert.Contains("text: not forecast: ", error, StringComparison.Ordinal);
        Assert.Contains("alone: not forecast: ", error, StringComparison.Ordinal);
        Assert.Contains("1 trace forecast", output, StringComparison.Ordinal);
        Assert.Equal(["good.forecast.csv"], Directory.GetFiles(folder.Path, "*.forecast.csv").Select(Path.GetFileName)); // an empty one stood for each that could not be read
        Assert.Equal(2, TraceFolder.Run("replay", "--trace", folder.File("bad.csv"), "--station", folder.File("bad.meta.json"), "--out", folder.File("x.csv")).Code);
    }

    [Fact]
    public void Wrong_use_is_told_and_ends_with_2()
    {
        using var folder = new TraceFolder();
        Assert.Equal(2, TraceFolder.Run("score", folder.Path).Code);
        var (code, _, nowhere) = TraceFolder.Run("score", folder.File("none"));
        Assert.Equal(2, code);
        Assert.Contains("none: no such folder; needed is one with a NAME.meta.json and a NAME.csv", nowhere, StringComparison.Ordinal);
        Assert.Contains("no trace here", TraceFolder.Run("score", folder.Path).Error, StringComparison.Ordinal);
        folder.Add("night-1", TraceFolder.Rows(60));
        Assert.Equal(2, TraceFolder.Run("score", folder.Path, "--forecasts", folder.File("night-1.csv")).Code);
        var lost = TraceFolder.Run("score", folder.Path, "--csv", folder.File("none/scores.csv"));
        Assert.Equal((2, ""), (lost.Code, lost.Output)); // before the forecasts, not after
        Assert.Contains("--csv", lost.Error, StringComparison.Ordinal);
        Assert.Contains("the folder it would be in is not there", lost.Error, StringComparison.Ordinal);
        Assert.Contains("is a folder", TraceFolder.Run("score", folder.Path, "--picture", "night-1", "--out", folder.Path).Error, StringComparison.Ordinal);
        Assert.NotEmpty(Root.Create().Parse(["score"]).Errors);
        Assert.NotEmpty(Root.Create().Parse(["score", folder.Path, "--jobs", "0"]).Errors);
    }

    /// <summary>A recording that was named as the place of its own forecasts too was lost.</summary>
    [Theory]
    [InlineData("night.csv", "reads from")]
    [InlineData("night.meta.json", "reads from")]
    [InlineData("link.csv", "reads from")] // its name is another, the file is the same
    [InlineData("here/night.csv", "reads from")]
    [InlineData("", "is a folder")]
    [InlineData("nowhere/x.csv", "is not there")]
    public void Replay_writes_over_nothing_that_it_reads_and_says_where_it_can_not_write(string name, string why)
    {
        using var folder = new TraceFolder().Add("night", TraceFolder.Rows(60));
        var (trace, prior) = (folder.Text("night.csv"), folder.Text("night.meta.json"));
        File.CreateSymbolicLink(folder.File("link.csv"), folder.File("night.csv"));
        Directory.CreateSymbolicLink(folder.File("here"), folder.Path);
        var replay = TraceFolder.Run("replay", "--trace", folder.File("night.csv"), "--station", folder.File("night.meta.json"), "--out", folder.File(name));
        Assert.Equal(2, replay.Code);
        Assert.StartsWith("--out ", replay.Error, StringComparison.Ordinal);
        Assert.Contains(why, replay.Error, StringComparison.Ordinal);
        Assert.Equal((trace, prior), (folder.Text("night.csv"), folder.Text("night.meta.json")));
    }

    /// <summary>So was a trace, its description or its truth that was named for the table of scores, or for a picture.</summary>
    [Theory]
    [InlineData("night-1.csv", "--csv")]
    [InlineData("night-2.meta.json", "--csv")]
    [InlineData("night-1.truth.csv", "--picture", "night-1", "--out")]
    public void Score_writes_over_nothing_that_it_reads(string name, params string[] options)
    {
        using var folder = new TraceFolder().Add("night-1", TraceFolder.Rows(60)).Add("night-2", TraceFolder.Rows(60));
        File.WriteAllText(folder.File("night-1.truth.csv"), "t_s,V_L\n0,1.6\n");
        var before = folder.Text(name);
        var (code, output, error) = TraceFolder.Run(["score", folder.Path, .. options, folder.File(name)]);
        Assert.Equal((2, ""), (code, output));
        Assert.StartsWith($"{options[^1]} {folder.File(name)}: is what this command reads from", error, StringComparison.Ordinal);
        Assert.Equal(before, folder.Text(name));
    }

    /// <summary>The picture and the forecasts stood in one file, half of each.</summary>
    [Theory]
    [InlineData("--picture", "both")]
    [InlineData("--log", "night", "--out", "night/night.sqlite")]
    public void Rehearse_writes_no_two_things_into_one_file(params string[] options)
    {
        using var folder = new TraceFolder();
        File.WriteAllText(folder.File("river.json"), Options.GoodFile.Text);
        Directory.CreateDirectory(folder.File("night"));
        string[] words = [.. options.Select(word => word.StartsWith('-') ? word : folder.File(word))];
        Assert.Equal(2, TraceFolder.Run(["rehearse", folder.File("river.json"), "--hours", "0.1", .. words, .. options[0] == "--picture" ? ["--picture-at", "0.05", "--out", folder.File("both")] : Array.Empty<string>()]).Code);
        Assert.Equal(2, Directory.GetFileSystemEntries(folder.Path, "*", SearchOption.AllDirectories).Length);
    }

    [Fact]
    public void A_picture_that_could_not_be_drawn_is_told()
    {
        using var folder = new TraceFolder();
        File.WriteAllText(folder.File("river.json"), Options.GoodFile.Text);
        var (code, _, error) = TraceFolder.Run("rehearse", folder.File("river.json"), "--hours", "0.2", "--fault", "process-stops@1m", "--picture", folder.File("x.svg"), "--picture-at", "0.1");
        Assert.Equal(1, code);
        Assert.StartsWith($"--picture {folder.File("x.svg")}: nothing was drawn, because from 0.1 h on the program stood still", error, StringComparison.Ordinal);
        Assert.False(File.Exists(folder.File("x.svg")));
    }

    /// <summary>A second night went into the log of the first, at the same hours of the same evening, and a station file named for forecasts was lost.</summary>
    [Theory]
    [InlineData("--log", "night")]
    [InlineData("--out", "river.json")]
    [InlineData("--picture", "river.json")]
    public void Rehearse_writes_over_neither_its_station_file_nor_another_nights_log(string option, string name)
    {
        using var folder = new TraceFolder();
        File.WriteAllText(folder.File("river.json"), Options.GoodFile.Text);
        var log = Path.Combine(Directory.CreateDirectory(folder.File("night")).FullName, Evenwater.Log.LogFile.Name);
        File.WriteAllText(log, "");
        Assert.Equal(2, TraceFolder.Run(["rehearse", folder.File("river.json"), "--hours", "0.1", option, folder.File(name), .. option == "--picture" ? ["--picture-at", "0.05"] : Array.Empty<string>()]).Code);
        Assert.Equal(("", Options.GoodFile.Text), (File.ReadAllText(log), folder.Text("river.json")));
        Assert.Equal(2, Directory.GetFileSystemEntries(folder.Path).Length);
    }
}
