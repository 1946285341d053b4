using System.Globalization;
using System.Xml.Linq;
using CsCheck;
using Evenwater.Core;
using Evenwater.Core.Estimation;
using Evenwater.Page;

namespace Evenwater.Tests.Page;

public class ForecastPictureTests
{
    private static readonly XNamespace s_svg = "http://www.w3.org/2000/svg";

    private static XElement Draw(StationView view, PictureSize size = PictureSize.Wide) => XElement.Parse(ForecastPicture.Draw(view, size));

    private static List<(double X, double Y)> Points(XElement shape) =>
    [
        .. shape.Attribute("points")!.Value.Split(' ').Select(p => p.Split(','))
            .Select(p => (double.Parse(p[0], CultureInfo.InvariantCulture), double.Parse(p[1], CultureInfo.InvariantCulture))),
    ];

    private static IEnumerable<XElement> Shapes(XElement picture, string look) =>
        picture.Descendants().Where(e => (e.Attribute("class")?.Value ?? "").Split(' ').Contains(look) && e.Attribute("points") is not null);

    [Fact]
    public void The_measured_line_ends_where_the_fan_begins_at_now()
    {
        var picture = Draw(MadeUp.Night(5.2));
        var measured = Points(Shapes(picture, "p-vessel").First(e => e.Attribute("class")!.Value == "p-vessel"));
        var ahead = Points(Shapes(picture, "p-middle").First());
        var now = double.Parse(picture.Descendants(s_svg + "line").Single(l => l.Attribute("class")!.Value == "p-now").Attribute("x1")!.Value, CultureInfo.InvariantCulture);
        Assert.InRange(now - measured[^1].X, 0, 3);
        Assert.Equal(now, ahead[0].X, 1);
        Assert.Equal(measured[^1].Y, ahead[0].Y, 1);
        Assert.True(measured[0].Y < measured[^1].Y, "falling conductivity must fall on the picture");
    }

    [Fact]
    public void The_middle_of_the_fan_meets_the_dot_of_the_match()
    {
        var picture = Draw(MadeUp.Night(5.2));
        var dot = picture.Descendants(s_svg + "circle").First();
        var (x, y) = (double.Parse(dot.Attribute("cx")!.Value, CultureInfo.InvariantCulture), double.Parse(dot.Attribute("cy")!.Value, CultureInfo.InvariantCulture));
        var ahead = Points(Shapes(picture, "p-middle").First());
        var after = ahead.FindIndex(p => p.X >= x);
        var (a, b) = (ahead[after - 1], ahead[after]);
        Assert.Equal(y, a.Y + ((b.Y - a.Y) * (x - a.X) / (b.X - a.X)), 0.5);
    }

    /// <summary>A level that may rise beyond its own rows must not come back among the conductivities.</summary>
    [Fact]
    public void Each_part_is_cut_off_at_its_own_rows()
    {
        var picture = Draw(MadeUp.Night(5.2));
        var (conductivity, water) = (Clip(picture, "p-middle"), Clip(picture, "p-fan-level"));
        Assert.NotEqual(conductivity.Attribute("y")!.Value, water.Attribute("y")!.Value);
    }

    private static XElement Clip(XElement picture, string look)
    {
        var reference = Shapes(picture, look).First().Ancestors().Select(a => a.Attribute("clip-path")?.Value).First(v => v is not null)!;
        var clip = picture.Descendants(s_svg + "clipPath").Single(c => reference == $"url(#{c.Attribute("id")!.Value})");
        return Assert.Single(clip.Elements(s_svg + "rect"));
    }

    /// <summary>A digit is 1303/2048 of its 11.5 px wide in DejaVu Sans, from memory: five take 37 px, and without them 54000 read as 4000.</summary>
    [Theory]
    [InlineData(PictureSize.Narrow)]
    [InlineData(PictureSize.Wide)]
    public void No_digit_of_a_level_of_sea_water_is_cut_off_at_the_left(PictureSize size)
    {
        var night = MadeUp.Night(5.2);
        var sea = Draw(
            night with { ToleranceMicrosiemensPerCm = 1500, History = [.. night.History.Select(p => p with { VesselConductivity = p.VesselConductivity + 46_000, TankConductivity = p.TankConductivity + 52_000 })] }, size);
        var levels = sea.Descendants(s_svg + "text").Where(t => t.Attribute("class")?.Value == "p-tick" && t.Attribute("text-anchor")?.Value == "end").ToList();
        Assert.Contains(levels, level => level.Value == "50000");
        Assert.All(levels, level => Assert.InRange(double.Parse(level.Attribute("x")!.Value, CultureInfo.InvariantCulture) - (level.Value.Length * 7.32), 0, 60));
    }

    /// <summary>By hand: 29,600 s after 20:00 it is 04:13:20, told as 04:15 by the sentence; its match is 2 min 30 s from 04:17:30, from which on it would be told as 04:20.</summary>
    [Fact]
    public void A_moment_is_told_as_the_sentence_tells_it_until_the_next_forecast()
    {
        var night = MadeUp.Night(5.2);
        var later = night with { Now = night.Now.AddSeconds(260), NowSeconds = night.NowSeconds + 260, Turned = MonotonicTime.FromSeconds(260) };
        foreach (var view in new[] { night, later })
        {
            var text = ForecastPicture.Draw(view, PictureSize.Wide);
            Assert.Contains(">even about 04:15<", text, StringComparison.Ordinal);
            Assert.Contains("even at about 04:15 (between", text, StringComparison.Ordinal);
            Assert.Contains(">at mark about 05:45<", text, StringComparison.Ordinal); // 35,200 s after it 05:46:40
            Assert.Contains("at about 05:45 (between", text, StringComparison.Ordinal);
        }
    }

    /// <summary>By hand: 2.5 L after an hour and 15 mL/min on would be 13.3 L after twelve more; above its pipe at 6 L none of it stays.</summary>
    [Fact]
    public void No_water_is_drawn_above_a_standpipe()
    {
        var night = MadeUp.Night(1);
        night = night with { Forecast = night.Forecast!.Value with { BrimSeconds = Quantiles.Never } };
        Assert.True(ForecastPicture.LevelAhead(night, PictureFrame.For(night, PictureSize.Wide))[^1].P50 > 6);
        var piped = night with { StandpipeLitres = 6 };
        var ahead = ForecastPicture.LevelAhead(piped, PictureFrame.For(piped, PictureSize.Wide));
        Assert.Equal((6.0, 6.0), (ahead.Max(band => band.P95), ahead[^1].P50));
        Assert.Contains(">pipe 6.0</text>", ForecastPicture.Draw(piped, PictureSize.Narrow), StringComparison.Ordinal);
        Assert.Contains("Above 6.0 L it runs off through the standpipe.", PictureWords.Describe(piped), StringComparison.Ordinal);
        Assert.DoesNotContain("standpipe", PictureWords.Describe(night), StringComparison.Ordinal);
    }

    [Fact]
    public void A_gap_in_the_readings_is_a_gap_in_the_line()
    {
        var view = MadeUp.Night(5.2);
        int Lines(StationView v) => Shapes(Draw(v), "p-vessel").Count(e => e.Attribute("class")!.Value == "p-vessel");
        Assert.Equal(1, Lines(view));
        Assert.Equal(2, Lines(view with { History = [.. view.History.Where(p => p.Seconds is < 7000 or > 9000)] }));
        Assert.Equal(2, Lines(view with { History = [.. view.History.Select(p => p.Seconds is > 7000 and < 7400 ? p with { VesselConductivity = null } : p)] }));
    }

    [Fact]
    public void Title_and_description_say_in_words_what_is_drawn()
    {
        var picture = Draw(MadeUp.Night(5.2));
        Assert.Equal("img", picture.Attribute("role")!.Value);
        // A name that is short, and the rest once: in the name as well it would be heard twice (Accessible Name and Description Computation 1.2).
        string? Id(string element) => picture.Element(s_svg + element)!.Attribute("id")!.Value;
        Assert.Equal((Id("title"), Id("desc")), (picture.Attribute("aria-labelledby")!.Value, picture.Attribute("aria-describedby")?.Value));
        var words = picture.Element(s_svg + "desc")!.Value;
        Assert.Contains("From 20:00 to 01:1", words, StringComparison.Ordinal);
        Assert.Contains("even at about 04:15", words, StringComparison.Ordinal);
        Assert.Contains("mark of 10.4 L at about 05:45", words, StringComparison.Ordinal);
        Assert.Contains("spills at 11.6 L", words, StringComparison.Ordinal);
        Assert.Contains("3 marks tell", words, StringComparison.Ordinal);
        Assert.Contains("One mark tells", PictureWords.Describe(MadeUp.Night(2)), StringComparison.Ordinal);
    }

    /// <summary>The sentence tells when the mark would be reached however wide the range is: that somebody must know. So do the picture and its words.</summary>
    [Fact]
    public void The_mark_is_told_as_the_sentence_tells_it_however_wide_its_range_is()
    {
        var night = MadeUp.Night(1);
        var wide = new Quantiles(4 * 3600, 6 * 3600, 7 * 3600, 20 * 3600, 100 * 3600);
        Assert.True(wide.CannotTell);
        night = night with { MatchCannotTell = true, Forecast = night.Forecast!.Value with { MatchSeconds = wide, BrimSeconds = wide } };
        Assert.Contains("even can't tell when; at its mark of 10.4 L at about 04:00, 01:00 at the earliest.", PictureWords.Describe(night), StringComparison.Ordinal);
        Assert.Single(Draw(night).Descendants(s_svg + "circle"));
        Assert.Contains(Draw(night).Descendants(s_svg + "text"), t => t.Value == "at mark about 04:00");
    }

    /// <summary>Where the sentence says "probably even already", the picture does not say that it is.</summary>
    [Theory]
    [InlineData(1800, "probably even now")]
    [InlineData(0, "even now")]
    public void Even_now_is_told_as_surely_as_it_is_known(double latest, string told)
    {
        var night = MadeUp.Night(8);
        night = night with { Forecast = night.Forecast!.Value with { MatchSeconds = new Quantiles(0, 0, 0, latest / 2, latest) } };
        Assert.Contains(Draw(night).Descendants(s_svg + "text"), t => t.Value == told);
        Assert.Contains($"While the valve stays open: {told}; at its mark", PictureWords.Describe(night), StringComparison.Ordinal);
    }

    /// <summary>Waters of 5 µS/cm apart are within the tolerance from the start: the picture said "probably even now" where the sentence told three quarters of the water at 01:30, and hatched what does not count.</summary>
    [Fact]
    public void Waters_that_conduct_alike_are_even_by_their_share_in_the_picture_too()
    {
        var night = MadeUp.Night(1);
        var share = new Quantiles(3 * 3600, 4 * 3600, 4.5 * 3600, 5 * 3600, 6 * 3600);
        night = night with { EvenByShare = 0.75, MatchCannotTell = true, Forecast = night.Forecast!.Value with { MatchSeconds = new Quantiles(0, 0, 0, 0, 3600), JudgedByReplacedFraction = true, ReplacedSeconds = share, ReplacedWanted = 0.75 } };
        var words = PictureWords.Describe(night);
        Assert.Contains("The two waters conduct nearly alike: even is when 75 % of the vessel's is the tank's.", words, StringComparison.Ordinal);
        Assert.DoesNotContain("within 40", words, StringComparison.Ordinal);
        Assert.Contains("While the valve stays open: even at about 01:30 (between 00:00 and 03:00)", words, StringComparison.Ordinal);
        Assert.Contains(Draw(night).Descendants(s_svg + "text"), t => t.Value == "even about 01:30");
        Assert.Empty(Shapes(Draw(night), "p-even"));
        Assert.DoesNotContain("Hatched", PictureWords.Hatched(night), StringComparison.Ordinal);
        Assert.Contains("Hatched", PictureWords.Hatched(MadeUp.Night(1)), StringComparison.Ordinal);
        Assert.Equal("", PictureWords.Hatched(MadeUp.Night(1) with { History = [.. MadeUp.Night(1).History.Select(point => point with { TankConductivity = null })] }));
    }

    /// <summary>Of a cup of 0.3 L the mark and the brim were both "0.3", at a quarter of the picture's height.</summary>
    [Fact]
    public void A_cup_fills_its_picture_and_its_mark_is_not_its_brim()
    {
        var night = MadeUp.Night(1);
        night = night with
        {
            BrimLitres = 0.3, MarkLitres = 0.28, Forecast = night.Forecast!.Value with { VolumeLitres = new Quantiles(0.1, 0.11, 0.12, 0.13, 0.14) },
            History = [.. night.History.Select(point => point with { VolumeP05 = 0.1, VolumeP50 = 0.12, VolumeP95 = 0.14 })],
        };
        string[] texts = [.. Draw(night).Descendants(s_svg + "text").Select(t => t.Value)];
        Assert.Contains("mark 0.28", texts);
        Assert.Contains("brim 0.30", texts);
        Assert.Equal(1.32 * 0.3, PictureFrame.For(night, PictureSize.Wide).Volume.To, 9);
        Assert.Contains("holds 0.12 L (0.10 to 0.14)", PictureWords.Describe(night), StringComparison.Ordinal);
        Assert.Contains("Water spills at 0.30 L.", PictureWords.Describe(night), StringComparison.Ordinal);
    }

    [Fact]
    public void A_closed_valve_or_a_blind_forecast_promises_no_moment()
    {
        Assert.NotEmpty(Draw(MadeUp.Night(8)).Descendants(s_svg + "circle"));
        Assert.Empty(Draw(MadeUp.Night(8) with { ValveOpen = false }).Descendants(s_svg + "circle"));
        Assert.Empty(Draw(MadeUp.CannotTell()).Descendants(s_svg + "circle"));
        Assert.Empty(Shapes(Draw(MadeUp.CannotTell()), "p-fan-vessel"));
    }

    [Fact]
    public void Any_view_gives_well_formed_finite_pictures_of_both_sizes()
    {
        var value = Gen.OneOf(Gen.Const((double?)null), Gen.Double[0, 60_000].Select(d => (double?)d));
        var point = Gen.Select(value, value, value, value).Select((a, b, c, d) => new HistoryPoint(0, a, b, null, null, c, d, d));
        var time = Gen.OneOf(Gen.Const(0.0), Gen.Double[1, 200_000], Gen.Const(Quantiles.Beyond)).Array[5]
            .Select(x => x.Order().ToArray()).Select(s => new Quantiles(s[0], s[1], s[2], s[3], s[4]));
        Gen.Select(point.Array[0, 40], time, time, value, value, Gen.Bool).Sample(
            (points, match, brim, tolerance, litres, open) =>
            {
                var night = MadeUp.Night(2);
                var view = night with
                {
                    History = [.. points.Select((p, i) => p with { Seconds = i * 180.0 })],
                    Forecast = night.Forecast!.Value with { MatchSeconds = match, BrimSeconds = brim },
                    ToleranceMicrosiemensPerCm = tolerance,
                    BrimLitres = litres,
                    ValveOpen = open,
                };
                foreach (var size in Enum.GetValues<PictureSize>())
                {
                    var text = ForecastPicture.Draw(view, size);
                    Assert.Equal("svg", XElement.Parse(text).Name.LocalName);
                    Assert.DoesNotContain("NaN", text, StringComparison.Ordinal);
                    Assert.DoesNotContain("Infinity", text, StringComparison.Ordinal);
                }
            },
            iter: 200);
    }

    [Fact]
    public void A_long_night_is_kept_whole_in_few_points()
    {
        var history = new RunHistory();
        for (var s = 0; s < 43_200; s++) history.Add(new(s, 1, 1, 1, 1, 1, 1, 1));
        var points = history.Snapshot();
        Assert.InRange(points.Count, RunHistory.Capacity / 2, RunHistory.Capacity);
        Assert.Equal(0, points[0].Seconds);
        Assert.InRange(points[^1].Seconds, 43_200 - 300, 43_200);
        var steps = points.Zip(points.Skip(1), (a, b) => b.Seconds - a.Seconds).ToList();
        Assert.InRange(steps.Max() / steps.Min(), 1, 1.05);
    }
}
