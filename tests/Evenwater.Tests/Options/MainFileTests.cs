using Evenwater.Core.Stations;
using Evenwater.Options;
using Evenwater.Tests.Documents;

namespace Evenwater.Tests.Options;

/// <summary>The daemon's own file, and what its stations must not have in common.</summary>
public sealed class MainFileTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("evenwater-main-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    /// <summary>A station file copied for a second vessel, with everything changed but one.</summary>
    [Theory]
    [InlineData("valveLine", "23", "13", "sensors.valveLine")]
    [InlineData("leakLine", "22", "12", "sensors.leakLine")]
    [InlineData("floatHighLine", "27", "17", "sensors.floatHighLine")]
    [InlineData("vesselThermometer", "\"28-000000000001\"", "\"28-000000000011\"", "sensors.vesselThermometer")]
    [InlineData("vesselConductivity", "{ \"adcAddress\": 72, \"adcInput\": 0, \"cellConstantPerCm\": 1.0 }", "{ \"adcAddress\": 74, \"adcInput\": 0, \"cellConstantPerCm\": 1.0 }", "sensors.vesselConductivity.adcInput")]
    public void Two_stations_that_are_wired_to_one_part_are_refused(string key, string river, string pond, string told)
    {
        var one = File.ReadAllText(Path.Combine(Repository.Root, "config", "stations", "sim-river.json"))
            .Replace("sim-river", "river", StringComparison.Ordinal).Replace("\"simulated\"", "\"board\"", StringComparison.Ordinal);
        var other = one.Replace("\"name\": \"river\"", "\"name\": \"pond\"", StringComparison.Ordinal);
        foreach (var (line, its) in new[] { ("floatLowLine\": 17", "floatLowLine\": 5"), ("floatHighLine\": 27", "floatHighLine\": 17"), ("leakLine\": 22", "leakLine\": 12"), ("valveLine\": 23", "valveLine\": 13") })
        {
            other = other.Replace(line, its, StringComparison.Ordinal);
        }

        // One float of the pond's hangs where the river's other one does: the same number of another key.
        one = one.Replace("floatLowLine\": 17", "floatLowLine\": 6", StringComparison.Ordinal);
        other = other.Replace("28-000000000001", "28-000000000011", StringComparison.Ordinal)
            .Replace("\"vesselConductivity\": { \"adcAddress\": 72", "\"vesselConductivity\": { \"adcAddress\": 74", StringComparison.Ordinal);
        Write("river.json", one);
        Write("pond.json", other);
        Assert.Empty(Read("""{ "stations": ["river.json", "pond.json"] }""")); // the tank's probe and thermometer are one for both

        Assert.Contains($"\"{key}\": {pond}", other, StringComparison.Ordinal);
        Write("pond.json", other.Replace($"\"{key}\": {pond}", $"\"{key}\": {river}", StringComparison.Ordinal));
        var problem = Assert.Single(Read("""{ "stations": ["river.json", "pond.json"] }"""));
        Assert.Equal($"stations[1] (pond.json): {told}", problem.Key);
        Assert.Contains("river has this one", problem.Allowed, StringComparison.Ordinal);
        Assert.Empty(Read("""{ "stations": ["pond.json"] }"""));
    }

    /// <summary>A probe of the tank in one file and of the vessel in the other can not be right in both.</summary>
    [Fact]
    public void What_is_one_station_s_vessel_is_not_another_s_tank()
    {
        var station = StationFile.Read(GoodFile.Path).Station!;
        var river = station with { Name = "river", Sensors = station.Sensors with { Source = SensorSource.Board } };
        var pond = river with
        {
            Name = "pond",
            Sensors = river.Sensors with
            {
                FloatLowLine = null, FloatHighLine = null, LeakLine = null, ValveLine = 13, VesselThermometer = "28-000000000011", TankThermometer = river.Sensors.VesselThermometer,
                VesselConductivity = river.Sensors.VesselConductivity with { AdcAddress = 74 },
            },
        };
        Assert.Equal("sensors.tankThermometer", Assert.Single(SharedParts.Of(pond, river)).Key);
        Assert.Empty(SharedParts.Of(pond, station)); // a simulated one has a rig of its own
    }

    [Theory]
    [InlineData(""" "mqtt": { "host": "" } """, "mqtt.host")]
    [InlineData(""" "mqtt": { "host": " " } """, "mqtt.host")]
    [InlineData(""" "mqtt": { "host": "mqtt://127.0.0.1" } """, "mqtt.host")]
    [InlineData(""" "mqtt": { "host": "127.0.0.1:1883" } """, "mqtt.host")]
    [InlineData(""" "mqtt": { "host": "pail\nport 1" } """, "mqtt.host")]
    [InlineData(""" "mqtt": { "host": "x", "user": "daemon" } """, "mqtt.passwordFile")]
    [InlineData(""" "mqtt": { "host": "x", "passwordFile": "mqtt-password" } """, "mqtt.user")]
    [InlineData(""" "influx": { "url": "http://127.0.0.1:8086", "bucket": "" } """, "influx.bucket")]
    public void A_name_that_can_be_none_is_told_by_its_key(string part, string key)
    {
        Write("river.json", GoodFile.Text);
        Assert.Equal(key, Assert.Single(Read($$"""{ "stations": ["river.json"], {{part}} }""")).Key);
    }

    [Fact]
    public void A_file_without_a_name_is_told_as_such()
    {
        Assert.Equal(("--config", "empty"), Told(MainFile.Read("").Problems));
        Assert.Equal(("--config", "empty"), Told(WatchFile.Read("").Problems));

        static (string, string) Told(IReadOnlyList<Problem> problems) => (Assert.Single(problems).Key, problems[0].Value);
    }

    /// <summary>Whoever gives a key twice means one of the two; the last was taken and the other forgotten.</summary>
    [Theory]
    [InlineData(""" "mqtt": { "host": "one" }, "mqtt": { "host": "other" } """)]
    [InlineData(""" "store": { "batchSeconds": 5, "batchSeconds": 6 } """)]
    public void A_key_that_is_there_twice_is_refused(string part)
    {
        Write("river.json", GoodFile.Text);
        var problem = Assert.Single(Read($$"""{ "stations": ["river.json"], {{part}} }"""));
        Assert.Equal("twice", problem.Value);
    }

    /// <summary>A mistake in this file is told like one in a station file: its key, its line, what stands there and what may.</summary>
    [Theory]
    [InlineData("\"mqtt\": { \"host\": \"x\", \"port\": \"1883\" }", "mqtt.port (line 2): \"1883\". Allowed: a whole number.")]
    [InlineData("\"mqtt\": { \"host\": \"x\", \"password\": \"y\" }", "mqtt.password (line 2): unknown key. Allowed: the keys of mqtt. Did you mean mqtt.passwordFile?")]
    [InlineData("\"mqtt\": { }", "mqtt.host (line 2): not given. Allowed: text in quotes.")]
    [InlineData("\"store\": { \"batchSeconds\": 0,5 }", "(file) (line 2): not valid JSON.")]
    [InlineData("\"page\": { \"listen\": \"127.0.0.1\" }", "page.listen (line 2): \"127.0.0.1\". Allowed: a list, [ ... ].")]
    [InlineData("\"vessel\": { }", "vessel (line 2): unknown key. Allowed: the keys of the daemon's own file.")]
    public void A_mistake_is_told_by_key_line_value_and_what_is_allowed(string part, string told)
    {
        Write("river.json", GoodFile.Text);
        Assert.StartsWith(told, Assert.Single(Read($$"""
            { "stations": ["river.json"],
            {{part}} }
            """)).ToString(), StringComparison.Ordinal);
    }

    /// <summary>A table of readings, or a password's file, that is named by mistake had been told whole: three thousand lines, and the secret with them.</summary>
    [Fact]
    public void Of_a_file_that_is_no_JSON_a_few_characters_are_told_and_no_more()
    {
        var problem = Assert.Single(StationFile.Parse("t_s,bucket_ec25_uScm\n" + string.Concat(Enumerable.Repeat("0,534,18.72\n", 3000))).Problems);
        Assert.Contains("'t_s,bucket", problem.Advice, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', problem.Advice);
        Assert.InRange(problem.Advice.Length, 20, 200);
    }

    /// <summary>Of a folder the system says that it is denied, and of an empty file the reader speaks of its own insides.</summary>
    [Fact]
    public void A_folder_an_empty_file_and_another_encoding_are_told_as_such()
    {
        Assert.Contains("This is a folder", Assert.Single(MainFile.Read(_folder).Problems).Advice, StringComparison.Ordinal);
        Assert.Contains("This is a folder", Assert.Single(StationFile.Read(_folder).Problems).Advice, StringComparison.Ordinal);
        Assert.Contains("This is a folder", Assert.Single(WatchFile.Read(_folder).Problems).Advice, StringComparison.Ordinal);
        foreach (var nothing in new[] { "", " \r\n", "\uFEFF" })
        {
            Assert.Equal("empty", Assert.Single(Read(nothing)).Value);
            Assert.Equal("empty", Assert.Single(StationFile.Parse(nothing).Problems).Value);
        }

        File.WriteAllText(Path.Combine(_folder, "wide.json"), GoodFile.Text, System.Text.Encoding.Unicode);
        Assert.Equal("UTF-16 text", Assert.Single(StationFile.Read(Path.Combine(_folder, "wide.json")).Problems).Value);
    }

    /// <summary>Where neither is given there is none to keep.</summary>
    [Fact]
    public void Who_gives_no_tolerance_is_told_to_give_one()
    {
        const string given = "\"toleranceMicrosiemensPerCm\": 40,";
        Assert.Contains(given, GoodFile.Text, StringComparison.Ordinal);
        Assert.Equal("Give one of the two.", Assert.Single(StationFile.Parse(GoodFile.Text.Replace(given, "", StringComparison.Ordinal)).Problems).Advice);
        Assert.Equal("Keep one of the two.", Assert.Single(StationFile.Parse(GoodFile.Text.Replace(given, given + "\"toleranceFractionOfDifference\": 0.1,", StringComparison.Ordinal)).Problems).Advice);
    }

    /// <summary>A full disk keeps the number of the process from being written; that is nobody else's hold.</summary>
    [Fact]
    public void The_state_is_locked_also_where_the_number_of_the_process_can_not_be_written()
    {
        File.CreateSymbolicLink(Path.Combine(_folder, "daemon.pid"), Path.Combine(_folder, "nowhere", "daemon.pid"));
        using var held = StateLock.Take(_folder, out _);
        Assert.NotNull(held);
        Assert.Null(StateLock.Take(_folder, out var holder));
        Assert.Equal("another process", holder);
    }

    private IReadOnlyList<Problem> Read(string main) => MainFile.Read(Write("main.json", main)).Problems;

    private string Write(string name, string text)
    {
        var path = Path.Combine(_folder, name);
        File.WriteAllText(path, text);
        return path;
    }
}
