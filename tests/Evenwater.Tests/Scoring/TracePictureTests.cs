using System.Globalization;
using System.Xml.Linq;
using Evenwater.Commands;

namespace Evenwater.Tests.Scoring;

/// <summary>The picture of one trace holds what the trace holds, and nothing outside its frame.</summary>
public sealed class TracePictureTests
{
    private static readonly XNamespace Svg = "http://www.w3.org/2000/svg";

    [Fact]
    public void A_night_with_truth_shows_measured_true_fans_events_and_the_decision()
    {
        using var folder = new TraceFolder().Add(
            "night-1", TraceFolder.Rows(7000), """{"t_match_s":4000,"t_brim_s":6000,"t_spill_s":8000,"V_limit_L":5,"Vmax_L":6,"events":[{"t_s":1800,"kind":"flow_jump","factor":1.5}]}""");
        File.WriteAllLines(folder.File("night-1.truth.csv"), ["t_s,V_L,q_mLmin,C_uScm,Ct_uScm", .. Enumerable.Range(0, 70).Select(i => $"{100 * i},{2 + (0.05 * i)},30,{200 + (400 / (2 + (0.05 * i))):0.0},200")]);
        var picture = Draw(folder, "night-1");
        Assert.Equal(2, Lines(picture, "polyline", "t-measured").Count());
        Assert.Equal(3, Lines(picture, "polyline", "t-true").Count());
        Assert.Equal(2, Lines(picture, "polygon", "t-fan-wide").Count(p => Points(p).Count > 100));
        Assert.Equal(4, Lines(picture, "line", "t-event").Count());
        Assert.Equal(4, Lines(picture, "line", "t-decision").Count());
        var words = string.Join('\n', picture.Descendants(Svg + "text").Select(t => t.Value));
        foreach (var part in new[] { "night-1 (made up)", "flow_jump ×1.5", "truly even 1:06", "truly at the mark 1:40", "Conductivity, µS/cm at 25 °C", "Water in the bucket, L", "hours of the trace", "overflow-forecast" })
        {
            Assert.Contains(part, words, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Half_way_the_median_drawn_is_within_a_fifth_of_the_truth_drawn()
    {
        using var folder = new TraceFolder().Add("night-1", TraceFolder.Rows(7000));
        var picture = Draw(folder, "night-1");
        var truth = double.Parse(Lines(picture, "line", "t-true").First(l => (string?)l.Parent?.Attribute("clip-path") is not null).Attribute("y1")!.Value, CultureInfo.InvariantCulture);
        var median = Points(Lines(picture, "polyline", "t-median").First());

        // Half way there, at 2,000 s, a fifth of the way off is 400 s. 60 to 956 px across are 0 to 7,000 s; 130 px upwards are 9,310 s.
        var half = median.Last(p => p.X <= 60 + (2000.0 / 7000 * 896));
        Assert.InRange(half.Y, truth - (400.0 / 9310 * 130), truth + (400.0 / 9310 * 130));
    }

    [Theory] // a recording's seconds need not begin at 0: what is drawn of it stood in a tenth of its panel, or below it
    [InlineData(100_000)]
    [InlineData(-100_000)]
    public void A_trace_that_does_not_begin_at_0_is_drawn_like_one_that_does(double later)
    {
        var rows = TraceFolder.Rows(3000);
        using var folder = new TraceFolder().Add("night-1", rows, truth: null)
            .Add("night-2", rows.Select(row => string.Create(CultureInfo.InvariantCulture, $"{double.Parse(row.Split(',')[0], CultureInfo.InvariantCulture) + later},{row.Split(',', 2)[1]}")), truth: null);
        var (usual, moved) = (Points(Lines(Draw(folder, "night-1"), "polyline", "t-median").First()), Points(Lines(Draw(folder, "night-2"), "polyline", "t-median").First()));
        Assert.Equal(usual.Count, moved.Count);
        Assert.All(usual.Zip(moved), pair => Assert.Equal(pair.First.Y, pair.Second.Y, 1.0));
    }

    [Theory]
    [InlineData("no truth")]
    [InlineData("one row")]
    [InlineData("absurd")]
    [InlineData("no tank")]
    [InlineData("gap")]
    public void Whatever_the_trace_the_picture_is_whole(string what)
    {
        var rows = TraceFolder.Rows(3000);
        rows = what switch
        {
            "one row" => [rows[0]],
            "absurd" => [.. rows.Select((r, i) => i % 7 == 3 ? string.Join(',', r.Split(',').Select((f, c) => c is 1 or 3 ? "1e9" : f)) : r)],
            "no tank" => [.. rows.Select(r => string.Join(',', r.Split(',').Select((f, c) => c is 3 or 4 ? "" : f)))],
            "gap" => [.. rows.Take(200), .. rows.Skip(400)],
            _ => rows,
        };
        using var folder = new TraceFolder().Add("night-1", rows, what == "no truth" ? null : TraceFolder.Truth);
        var picture = Draw(folder, "night-1");
        foreach (var text in picture.Descendants(Svg + "text"))
        {
            Assert.InRange(double.Parse(text.Attribute("x")!.Value, CultureInfo.InvariantCulture), -0.1, 960);
            Assert.InRange(double.Parse(text.Attribute("y")!.Value, CultureInfo.InvariantCulture), 0, 866);
        }
    }

    [Fact]
    public void Wrong_use_is_told()
    {
        using var folder = new TraceFolder().Add("night-1", TraceFolder.Rows(100));
        var (code, _, error) = TraceFolder.Run("score", folder.Path, "--picture", "night-9", "--out", folder.File("x.svg"));
        Assert.Equal((2, true), (code, error.Contains("there are night-1", StringComparison.Ordinal)));
        Assert.NotEmpty(Root.Create().Parse(["score", folder.Path, "--out", "x.svg"]).Errors);
        Assert.NotEmpty(Root.Create().Parse(["score", folder.Path, "--picture", "night-1", "--csv", "x.csv"]).Errors);
        Assert.Empty(Root.Create().Parse(["score", folder.Path, "--picture", "night-1"]).Errors);
    }

    private static XDocument Draw(TraceFolder folder, string name)
    {
        Assert.Equal(0, TraceFolder.Run("score", folder.Path, "--picture", name, "--out", folder.File("x.svg")).Code);
        return XDocument.Parse(folder.Text("x.svg"));
    }

    private static IEnumerable<XElement> Lines(XDocument picture, string element, string look) =>
        picture.Descendants(Svg + element).Where(e => ((string?)e.Attribute("class") ?? "").Split(' ').Contains(look));

    private static List<(double X, double Y)> Points(XElement curve) =>
        [.. curve.Attribute("points")!.Value.Split(' ').Select(p => p.Split(',')).Select(p => (double.Parse(p[0], CultureInfo.InvariantCulture), double.Parse(p[1], CultureInfo.InvariantCulture)))];
}
