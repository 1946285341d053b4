using System.Text;
using Evenwater.Core.Estimation;
using Evenwater.Core.Stations;
using Evenwater.Options;

namespace Evenwater.Tests.Options;

public class StationFileTests
{
    [Fact]
    public void Every_shipped_station_file_is_good()
    {
        var files = Directory.GetFiles(Path.GetDirectoryName(GoodFile.Path)!, "*.json");
        Assert.NotEmpty(files);
        Assert.All(files, file =>
        {
            var reading = StationFile.Read(file);
            Assert.Empty(reading.Problems);
            Assert.Equal(Path.GetFileNameWithoutExtension(file), reading.Station!.Name);
        });
    }

    [Fact]
    public void Values_arrive_where_they_belong()
    {
        var station = StationFile.Parse(GoodFile.Text).Station!;
        Assert.Equal(1.6, station.Vessel.StartVolumeLitres);
        Assert.Equal(VesselMode.Fill, station.Vessel.Mode);
        Assert.Equal(SensorSource.Simulated, station.Sensors.Source);
        Assert.Equal(27, station.Sensors.FloatHighLine);
        Assert.Equal(PowerLoss.Closed, station.Valve.OnPowerLoss);
        Assert.Equal(0.0191, station.Sensors.VesselConductivity.AlphaPerKelvin); // left out in the file: the default
        Assert.Empty(station.DrawOffs);
    }

    [Fact]
    public void A_list_of_draw_offs_is_read()
        => Assert.Equal([new DrawOff(3600, 2, 0.02)], Replace("\"room\"", """
            "drawOffs": [ { "atSeconds": 3600, "litres": 2, "relativeSd": 0.02, }, ],
            "room"
            """).Station!.DrawOffs);

    [Theory]
    // an unknown key, and the one that was meant
    [InlineData("\"brimLitres\"", "\"brimLiters\"", "vessel.brimLiters", "Did you mean vessel.brimLitres?")]
    [InlineData("\"brimLitres\"", "\"BrimLitres\"", "vessel.BrimLitres", "Did you mean vessel.brimLitres?")]
    [InlineData("\"mode\"", "\"dwellMinutes\": 10, \"mode\"", "vessel.dwellMinutes", "It belongs at match.dwellMinutes.")]
    [InlineData("\"mode\"", "\"zzz\": 10, \"mode\"", "vessel.zzz", "Take it out.")]
    // a wrong kind of value
    [InlineData("11.6", "\"11.6 L\"", "vessel.brimLitres", "the unit is in the key")]
    [InlineData("11.6", "null", "vessel.brimLitres", "Give a value.")]
    [InlineData("11.6", "1e999", "vessel.brimLitres", "Write a value of that kind.")]
    [InlineData("\"fill\"", "\"filling\"", "vessel.mode", "Did you mean \"fill\"?")]
    [InlineData("\"fill\"", "\"overflow\"", "vessel.mode", "Write one of these.")]
    [InlineData("\"fill\"", "0", "vessel.mode", "Write a value of that kind.")]
    [InlineData("\"i2cBus\": 1", "\"i2cBus\": 1.5", "sensors.i2cBus", "Write a value of that kind.")]
    [InlineData("\"lid\": true", "\"lid\": \"yes\"", "room.lid", "Write a value of that kind.")]
    [InlineData("\"28-000000000001\"", "null", "sensors.vesselThermometer", "Give a value.")] // it is required: without it the next word would be to add it
    [InlineData("\"lid\": true", "\"lid\": null", "room.lid", "Give a value, or take the key out.")]
    [InlineData("{ \"onPowerLoss\": \"closed\" }", "\"closed\"", "valve", "inside braces")]
    [InlineData("{ \"onPowerLoss\": \"closed\" }", "null", "valve", "inside braces")]
    [InlineData("\"room\"", "\"drawOffs\": [ { \"litres\": 2 } ], \"room\"", "drawOffs[0].atSeconds", "Add this key.")]
    [InlineData("\"room\"", "\"drawOffs\": { }, \"room\"", "drawOffs", "Write a value of that kind.")]
    // a missing key
    [InlineData("\"brimLitres\": 11.6,", "", "vessel.brimLitres", "Add this key.")]
    [InlineData("\"valveLine\": 23", "", "sensors.valveLine", "Add this key.")]
    // a value that no rule allows
    [InlineData("11.6", "1.16", "vessel.startVolumeLitres", "larger vessel")]
    [InlineData("\"leaseSeconds\": 3", "\"leaseSeconds\": 30", "safety.leaseSeconds", "let go within 3 s")]
    public void What_is_wrong_is_named_by_key_line_and_remedy(string find, string replacement, string key, string advice)
    {
        var reading = Replace(find, replacement);
        Assert.Null(reading.Station);
        var problem = Assert.Single(reading.Problems, p => p.Key == key && p.Advice.Contains(advice, StringComparison.Ordinal));
        Assert.NotNull(problem.Line);
    }

    [Fact]
    public void The_line_is_the_line_of_the_key()
    {
        var lines = GoodFile.Text.Split('\n');
        var wanted = Array.FindIndex(lines, line => line.Contains("\"leaseSeconds\"", StringComparison.Ordinal)) + 1;
        Assert.Equal(wanted, Assert.Single(Replace("\"leaseSeconds\": 3", "\"leaseSeconds\": 30").Problems).Line);
    }

    [Fact]
    public void All_problems_are_told_at_once()
        => Assert.Equal(3, Replace("\"brimLitres\"", "\"brimLiters\"", "\"lid\": true", "\"lid\": 1").Problems.Count); // unknown, missing, wrong kind

    [Theory]
    [InlineData("")]
    [InlineData("   ")]
    [InlineData("{")]
    [InlineData("[]")]
    [InlineData("3")]
    [InlineData("null")]
    [InlineData("{\"name\":\"a\",\"name\":\"b\"}")]
    [InlineData("{\"\\ud800\":1}")]
    [InlineData("{\"name\":\"\\ud800\"}")]
    public void Text_that_is_no_station_is_a_problem_and_not_an_exception(string text)
    {
        var reading = StationFile.Parse(text);
        Assert.Null(reading.Station);
        Assert.NotEmpty(reading.Problems);
    }

    [Fact]
    public void A_duplicate_key_is_an_error_since_one_of_the_two_is_not_what_runs()
        => Assert.Null(Replace("\"brimLitres\": 11.6,", "\"brimLitres\": 11.6, \"brimLitres\": 21.6,").Station);

    [Theory]
    [InlineData("\"brimLitres\": 11.6,", "\"brimLitres\": 11.6,\n \"brimLitres\": 21.6,", "vessel.brimLitres", 1)]
    [InlineData("\"room\"", "\"vessel\": { \"mode\": \"fill\", \"brimLitres\": 3 },\n \"room\"", "vessel", 0)]
    [InlineData("\"room\"", "\"drawOffs\": [{ \"litres\": 1 }, { \"litres\": 1,\n \"litres\": 2 }],\n \"room\"", "drawOffs[1].litres", 1)]
    public void A_key_that_stands_twice_is_named_with_both_its_lines(string find, string replacement, string key, int below)
    {
        var problem = Assert.Single(Replace(find, replacement).Problems);
        var line = Array.FindIndex(GoodFile.Text.Split('\n'), text => text.Contains(find, StringComparison.Ordinal)) + 1 + below;
        var first = key == "vessel" ? Array.FindIndex(GoodFile.Text.Split('\n'), text => text.Contains("\"vessel\"", StringComparison.Ordinal)) + 1 : line - 1;
        Assert.Equal((key, line, $"Keep one of the two: the other stands on line {first}."), (problem.Key, problem.Line, problem.Advice));
    }

    [Theory] // what a keeper writes who counts with a comma, reads i2cdetect, or copies from a page
    [InlineData("\"startVolumeLitres\": 1.6", "\"startVolumeLitres\": 1,6", "A decimal takes a point and no comma: 1.6.")]
    [InlineData("\"adcAddress\": 72", "\"adcAddress\": 0x48", "0x48 is 72.")]
    [InlineData("\"mode\": \"fill\"", "\u201cmode\u201d: \"fill\"", "Quotes are straight")]
    public void A_usual_mistake_is_answered_with_what_was_meant(string find, string replacement, string advice)
    {
        var problem = Assert.Single(Replace(find, replacement).Problems);
        Assert.Contains(advice, problem.Advice, StringComparison.Ordinal);
        Assert.DoesNotContain("LineNumber", problem.Advice, StringComparison.Ordinal); // counted from 0, beside ours from 1
    }

    [Fact]
    public void Broken_JSON_names_its_line()
        => Assert.Equal(3, Assert.Single(StationFile.Parse("{\n  \"name\": \"sim-a\",\n  \"vessel\" 3 }").Problems).Line);

    [Fact]
    public void A_byte_order_mark_is_no_fault()
        => Assert.NotNull(StationFile.Parse(Encoding.UTF8.GetPreamble().Concat(Encoding.UTF8.GetBytes(GoodFile.Text)).ToArray()).Station);

    [Theory]
    [InlineData("/nowhere/at/all.json")]
    [InlineData("/")]
    [InlineData("/dev/zero")]
    public void A_file_that_cannot_be_read_is_a_problem(string path)
        => Assert.Equal(path, Assert.Single(StationFile.Read(path).Problems).Key);

    private static StationReading Replace(params string[] pairs)
    {
        var text = GoodFile.Text;
        for (var i = 0; i < pairs.Length; i += 2)
        {
            Assert.Contains(pairs[i], text, StringComparison.Ordinal); // or the test would prove nothing
            text = text.Replace(pairs[i], pairs[i + 1], StringComparison.Ordinal);
        }

        return StationFile.Parse(text);
    }
}
