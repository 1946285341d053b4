using Evenwater.Commands;
using Evenwater.Core.Estimation;
using Evenwater.Core.Keeping;
using Evenwater.Options;
using Evenwater.Page;
using Evenwater.Page.Journal;
using Evenwater.Page.Planning;
using Evenwater.Tests.Documents;

namespace Evenwater.Tests.Page;

/// <summary>The plan's form tries other numbers, and says by the field what is not allowed.</summary>
public class PlanFormTests
{
    private static readonly DateTimeOffset Evening = new(2026, 3, 14, 20, 0, 0, TimeSpan.Zero);
    private static readonly PlanClock Clock = new(Evening, TimeZoneInfo.Utc);
    private static readonly Book Book = Book.Of([new Note { Id = "n1", Kind = NoteKind.Arrival, By = "Ann", At = Evening, Arrival = new() { Species = "snails", Count = 12, MicrosiemensPerCm = 600 } }]);

    public static TheoryData<string> Names => [.. PlanField.All.Select(known => known.Name)];

    [Theory]
    [MemberData(nameof(Names))]
    public void Each_field_says_its_range_when_it_is_left(string name)
    {
        foreach (var value in new[] { "-100000", "9000000" })
        {
            var typed = Typed((name, value));
            PlanAsked.Read(typed, DemoStation.Read(), Book, Clock);
            Assert.Contains(typed.Refused, refused => refused.Field == name && refused.Value == value && refused.Allowed.Any(char.IsAsciiDigit));
        }

        var words = Typed((name, "much"));
        PlanAsked.Read(words, DemoStation.Read(), Book, Clock);
        Assert.Equal((name, "much"), (words.Refused[0].Field, words.Refused[0].Value));
    }

    /// <summary>Of 52 mS/cm five digits stand before the axis, each 1303/2048 of 11.5 px wide in DejaVu Sans, from memory.</summary>
    [Fact]
    public void No_digit_of_sea_water_is_cut_off_in_the_plans_picture()
    {
        var lagoon = StationFile.Read(Path.Combine(Repository.Root, "config", "stations", "sim-lagoon.json")).Station!;
        var picture = System.Xml.Linq.XElement.Parse(PlanPicture.Draw(PlanPage.Of(lagoon, Clock), PictureSize.Narrow));
        var levels = picture.Descendants().Where(t => t.Attribute("class")?.Value == "p-tick" && t.Attribute("text-anchor")?.Value == "end").ToList();
        Assert.Contains(levels, level => level.Value.Length == 5);
        Assert.All(levels, level => Assert.InRange(double.Parse(level.Attribute("x")!.Value, System.Globalization.CultureInfo.InvariantCulture) - (level.Value.Length * 7.32), 0, 60));
    }

    /// <summary>The demo's low float is at more than a vessel of 3 L can hold, and its high one is moved down with the brim.</summary>
    [Fact]
    public void A_vessel_too_small_for_the_station_files_floats_is_planned_without_the_low_one()
    {
        var asked = Asked(("brim", "3"));
        Assert.Equal((3.0, null, null), (asked.Station.Vessel.BrimLitres, asked.Station.Floats.LowLitres, asked.Station.Sensors.FloatLowLine));
        Assert.Contains("The low float is left out: the station file's is too high for this vessel.", asked.Followed);
    }

    /// <summary>By hand: from 1.6 L to the brim of 11.6 L; or to a pipe at 5 L, and 4 L below it.</summary>
    [Theory]
    [InlineData(VesselMode.Fill, 10.0)]
    [InlineData(VesselMode.Standpipe, 7.4)]
    public void A_budget_that_the_vessel_can_not_take_becomes_what_it_can(VesselMode mode, double litres)
    {
        var demo = DemoStation.Read();
        var told = new List<string>();
        var follows = PlanFollows.Of(
            demo with { Vessel = demo.Vessel with { Mode = mode, StandpipeLitres = 5, StandpipeSdLitres = 0.1, CatchLitres = 4 }, Safety = demo.Safety with { MaxInflowLitres = 11 } }, told);
        Assert.Equal(litres, follows.Safety.MaxInflowLitres, 1e-9);
        Assert.StartsWith($"What may run in is taken as {litres:0.0#} L, all that this vessel can still take; the station file allows 11.0 L.", Assert.Single(told), StringComparison.Ordinal);
    }

    /// <summary>No drip is none that is more than what evaporates, and that is nobody's mistake beside it.</summary>
    [Fact]
    public void What_only_follows_from_a_field_that_is_wrong_is_not_told_beside_it()
    {
        var typed = Typed(("flow", "0"));
        PlanAsked.Read(typed, DemoStation.Read(), Book, Clock);
        Assert.Equal("flow", Assert.Single(typed.Refused).Field);
    }

    /// <summary>How far off a volume may be is no field of the form. The demo's first water is told as good to 0.1 L, its brim to 0.12 L.</summary>
    [Theory]
    [InlineData("start", "0.06", "at least 0.2 L: 2 x vessel.startVolumeSdLitres, which is 0.1 L in the station file")]
    [InlineData("brim", "0.5", "at least 0.6 L: 5 x vessel.brimSdLitres, which is 0.12 L in the station file")]
    public void A_volume_too_small_for_how_sure_it_is_is_told_at_its_own_field(string name, string value, string allowed)
    {
        var station = DemoStation.Read();
        var typed = Typed((name, value));
        PlanAsked.Read(typed, station with { Vessel = station.Vessel with { StartVolumeSdLitres = 0.1, BrimSdLitres = 0.12 } }, Book, Clock);
        Assert.Contains(typed.Refused, refused => refused.Field == name && refused.Value == value && (refused.Allowed == allowed || name == "brim"));
        Assert.DoesNotContain(typed.Refused, refused => refused.Field.EndsWith("SdLitres", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("hours", "60")]
    [InlineData("hours", "0.1")]
    [InlineData("by", "25:00")]
    [InlineData("leave", "soon")]
    [InlineData("back", "x")]
    [InlineData("arrival", "n7")]
    public void What_is_wished_is_refused_by_its_field_too(string name, string value)
    {
        var typed = Typed((name, value));
        PlanAsked.Read(typed, DemoStation.Read(), Book, Clock);
        Assert.Equal((name, value), (Assert.Single(typed.Refused).Field, typed.Refused[0].Value));
    }

    [Fact]
    public void What_is_typed_is_planned_and_an_arrival_brings_its_water_unless_it_is_typed_otherwise()
    {
        var station = DemoStation.Read();
        Assert.Equal(2.5, Asked(("start", "2.5")).Station.Vessel.StartVolumeLitres);
        Assert.Equal(station, Asked().Station);
        Assert.Equal(600, Asked(("arrival", "n1"), ("bagConductivity", "410")).Station.Waters.BagMicrosiemensPerCm); // as the station file has it: not typed
        Assert.Equal(500, Asked(("arrival", "n1"), ("bagConductivity", "500")).Station.Waters.BagMicrosiemensPerCm);
        Assert.Equal(12, Asked(("arrival", "n1")).Station.Arrival.Animals);
        Assert.Equal(!station.Room.Lid, Asked(("lid", station.Room.Lid ? "0" : "1")).Station.Room.Lid);
        Assert.Equal(12, Asked(("by", "08:00")).Wishes.DoneByHours);
    }

    [Fact]
    public void The_page_tells_what_the_command_tells()
    {
        var station = DemoStation.Read() with { DrawOffs = [new() { AtSeconds = 7200, Litres = 0.5 }] };
        var page = PlanPage.Of(station, Clock);
        var shown = PlanShown.Of(page, ["As calibrated."]);
        using var output = new StringWriter();
        PlanText.Write(Paper.For(output), page, more: true, chart: false);
        var told = output.ToString();
        Assert.StartsWith(shown.Sentence, told, StringComparison.Ordinal);
        Assert.All(shown.Mind.Concat(shown.Asks).Concat(shown.Advice.For).Concat(shown.Advice.Against).Concat(shown.Figures.Select(figure => figure.Value)), line => Assert.Contains(line, told, StringComparison.Ordinal));
        Assert.Contains("As calibrated.", shown.Says);
        Assert.Equal(page.Ways.Count, shown.Ways.Count);
        foreach (var svg in new[] { shown.Narrow, shown.Wide })
        {
            var picture = System.Xml.Linq.XDocument.Parse(svg).Root!;
            var level = Points(picture.Descendants().Single(part => (string?)part.Attribute("class") == "p-level"));
            var across = level.Zip(level.Skip(1)).Where(pair => Math.Abs(pair.Second.X - pair.First.X) < 0.2).Max(pair => pair.Second.Y - pair.First.Y);
            // Half a litre of the picture's height of 108 px, whose top is 1.08 times the brim (11.6 L): 4.3 px straight down the page.
            Assert.InRange(across, 3.8, 4.9);
            Assert.Contains(picture.Descendants(), part => part.Value == "draw 0.5 L");
        }

        static List<(double X, double Y)> Points(System.Xml.Linq.XElement line) => [.. ((string)line.Attribute("points")!).Split(' ').Select(point => point.Split(',')).Select(pair => (double.Parse(pair[0]), double.Parse(pair[1])))];
    }

    /// <summary>The command told 0.29 L where the page told 0.3, and a mark of 0.28 L was 0.3 as well.</summary>
    [Fact]
    public void Of_a_cup_the_page_tells_as_many_digits_as_the_command()
    {
        var demo = DemoStation.Read();
        var page = PlanPage.Of(demo with { Vessel = demo.Vessel with { StartVolumeLitres = 0.04, StartVolumeSdLitres = 0.001, BrimLitres = 0.3, BrimSdLitres = 0.005, FreeboardLitres = 0.02 }, Drip = demo.Drip with { FlowMillilitresPerMinute = 0.6 } }, Clock);
        var shown = PlanShown.Of(page, []);
        Assert.Equal("0.04", shown.Course[0][2]);
        Assert.Equal(page.Ways[0].EndLitres!.Value.ToString("0.00"), shown.Ways[0][4]);
        Assert.Contains("from 0.04 to", shown.Wide, StringComparison.Ordinal);
        Assert.Contains("its mark is at 0.28 L", shown.Wide, StringComparison.Ordinal);
        Assert.Contains("mark 0.28<", shown.Wide, StringComparison.Ordinal);
    }

    [Theory] // 225 µS/cm apart conductivity tells; 5 apart, within the 40 from the start, three quarters must have been replaced
    [InlineData(410, true, "within 40 they count as even")]
    [InlineData(190, false, "they count as even when 75 % of it is the tank's")]
    public void Waters_that_conduct_alike_are_not_drawn_as_even_from_the_start(double bag, bool banded, string words)
    {
        var demo = DemoStation.Read();
        var shown = PlanShown.Of(PlanPage.Of(demo with { Waters = demo.Waters with { BagMicrosiemensPerCm = bag } }, Clock), []);
        Assert.Equal(banded, shown.Hatched.StartsWith("Hatched", StringComparison.Ordinal));
        Assert.All([shown.Narrow, shown.Wide], svg =>
        {
            var picture = System.Xml.Linq.XDocument.Parse(svg).Root!;
            Assert.Equal(banded, picture.Descendants().Any(part => ((string?)part.Attribute("class"))?.Contains("p-even", StringComparison.Ordinal) == true));
            Assert.Contains(words, picture.Descendants().Single(part => part.Name.LocalName == "desc").Value, StringComparison.Ordinal);
        });
    }

    private static PlanAsked Asked(params (string, string)[] fields)
    {
        var typed = Typed(fields);
        var asked = PlanAsked.Read(typed, DemoStation.Read(), Book, Clock);
        Assert.Empty(typed.Refused);
        return asked;
    }

    private static TypedForm Typed(params (string Name, string Value)[] fields) => new(fields.ToDictionary(field => field.Name, field => field.Value));
}
