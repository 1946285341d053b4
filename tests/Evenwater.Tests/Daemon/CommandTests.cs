namespace Evenwater.Tests.Daemon;

/// <summary>The command line with wrong input: the place, the value, what is allowed, what to do; exit code 2.</summary>
public sealed class CommandTests : IDisposable
{
    private readonly ProgramUnderTest _program = new();

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    public void Dispose() => _program.Dispose();

    public static TheoryData<string[], string[]> Wrong => new()
    {
        { [], ["--help"] },
        { ["dance"], ["dance"] },
        { ["rehearse"], ["rehearse"] },
        { ["rehearse", "nowhere"], ["nowhere", "sim-river"] },
        { ["rehearse", "sim-river", "--fault", "meteor"], ["meteor", "siphon-surge"] },
        { ["rehearse", "sim-river", "--fault", "siphon-surge@soon"], ["soon", "90m"] },
        { ["rehearse", "sim-river", "--hours", "200"], ["--hours", "200", "0.1 to 48"] },
        { ["rehearse", "sim-river", "--seed", "one"], ["one"] },
        { ["rehearse", "sim-river", "--fault", "siphon-surge@30h"], ["siphon-surge", "over after 12 h", "--hours"] },
        { ["rehearse", "sim-river", "--fault", "slow-clog", "--hours", "3"], ["slow-clog", "over after 3 h"] }, // four hours in, if nobody says when
        { ["water", "PracticalSalinity.Of", "50000", "25"], ["millisiemensPerCm = 50000. Allowed: 0 to 80 mS/cm.\n"] },
        { ["replay", "--trace", "nowhere.csv", "--station", "sim-river", "--out", "forecasts.csv"], ["--trace nowhere.csv: there is no such file; give"] },
        { ["plan", "nowhere"], ["nowhere"] },
        { ["begin", "sim-river", "--start-volume", "900", "--yes"], ["--start-volume", "900", "10.4"] },
        { ["begin", "sim-river", "--flow", "-3", "--yes"], ["--flow", "-3", "0.5 to 200"] },
        { ["begin", "sim-river"], ["--yes"] },
        { ["check", "--station", "sim-river"], ["--station", "--proof"] }, // it checked every station and said nothing
        { ["check", "--by", "Ann"], ["--by", "--proof"] },
        { ["begin", "sim-river", "--jug", "--yes"], ["--jug", "--start-volume"] }, // it was not heard
        { ["close"], ["No daemon", "by hand"] },
        { ["begin", "sim-river", "--match", "--no-match", "--yes"], ["--match", "--no-match"] },
        { ["drawn"], ["--litres"] },
        { ["drawn", "--litres", "0"], ["--litres", "above 0"] },
        { ["drawn", "--litres", "1", "--sd-percent", "90"], ["--sd-percent", "90", "0 to 50"] },
        { ["drawn", "--litres", "1"], ["No daemon"] },
        { ["begin", "sim-river", "--tank", "200", "--yes"], ["--tank", "200", "has a probe in the tank"] },
        { ["alarms"], ["No daemon"] },
        { ["acknowledge"], ["acknowledge"] },
        { ["acknowledge", "flood"], ["alarm = flood", "high-float, leak", ", all."] },
        { ["acknowledge", "all"], ["No daemon"] },
        { ["shelve", "flood", "--for", "2h", "--reason", "x"], ["alarm = flood", "high-float, leak"] },
        { ["return", "all"], ["alarm = all", "high-float, leak"] },
        { ["shelve", "drip-slow", "--reason", "x"], ["--for"] },
        { ["shelve", "drip-slow", "--for", "2h"], ["--reason"] },
        { ["shelve", "drip-slow", "--for", "12h", "--reason", "x"], ["--for = 12h", "above 0, to 8h"] },
        { ["retire", "drip-slow"], ["--reason"] },
        { ["finish", "--alive", "-1"], ["--alive", "-1"] },
        { ["journal"], ["There is no log", "$STATE_DIRECTORY"] },
        { ["tank"], ["There is no log", "$STATE_DIRECTORY"] },
        { ["tank", "test", "sim-river", "H2O", "5", "--step", "1"], ["WHAT = H2O", "NO3, NO2, TAN"] },
        { ["tank", "test", "sim-river", "NO3", "5"], ["--step", "more than 0"] },
        { ["tank", "test", "sim-river", "pH", "15", "--step", "0.5"], ["test.pH: 15", "3 to 11"] },
        { ["tank", "look", "sim-river", "plant-colour", "6"], ["observation.plant-colour: 6", "1 to 5", "4 even and fresh"] },
        { ["tank", "trouble", "sim-river", "--tried", "n1"], ["trouble.of", "n1", "the note that opened a trouble"] },
        { ["tank", "trouble", "sim-river"], ["--open, --tried, --close"] },
        { ["journal", "nowhere", "--add", "feed", "x"], ["nowhere", "sim-river"] },
        { ["journal", "sim-river", "--add", "feed", "x", "--litres", "2"], ["litres: 2", "none with feed"] },
        { ["arrival", "sim-river", "--add", "snails", "--count", "3", "--ph", "15"], ["ph: 15", "4 to 10", "calibrate the meter"] },
        { ["plan", "sim-river", "--arrival", "n7"], ["--arrival = n7", "first runs; set $STATE_DIRECTORY"] }, // it has no --log, which it had told to use
        { ["calibrate", "sim-river", "teapot", "--yes"], ["probe: teapot", "vessel-conductivity"] },
        { ["calibrate", "sim-river", "vessel-conductivity", "--standard", "84", "--yes"], ["--standard: 84", "1413"] },
        { ["calibrate", "sim-river", "vessel-thermometer", "--reference", "249", "--yes"], ["--reference: 249", "-5 to 60 °C"] },
        { ["serve", "--config", "missing.json"], ["missing.json"] },
        { ["replay", "--trace", "missing.csv", "--station", "sim-river", "--out", "/dev/null"], ["missing.csv"] },
    };

    [Theory]
    [MemberData(nameof(Wrong))]
    public async Task Wrong_use_says_what_is_wrong_and_exits_with_2(string[] args, string[] said)
    {
        var called = await _program.CallAsync(args);
        Assert.Equal(2, called.Exit);
        foreach (var word in said)
        {
            Assert.Contains(word, called.Error, StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task A_wrong_kind_of_note_is_answered_with_those_that_may_be_added()
    {
        var called = await _program.CallAsync("journal", "sim-river", "--add", "frobnicate", "x");
        Assert.Equal(2, called.Exit);
        Assert.Contains("water-change, top-off, dose", called.Error, StringComparison.Ordinal);
        Assert.DoesNotContain("calibration", called.Error, StringComparison.Ordinal); // 'evenwater calibrate' writes it
    }

    [Fact]
    public async Task A_wrong_station_file_is_refused_by_key_value_and_range()
    {
        var file = Path.Combine(_program.Folder, "station.json");
        await File.WriteAllTextAsync(file, (await File.ReadAllTextAsync(file, Stop)).Replace("\"brimLitres\": 11.6", "\"brimLitres\": -2", StringComparison.Ordinal), Stop);
        var called = await _program.CallAsync("serve", "--config", _program.Configuration);
        Assert.Equal(2, called.Exit);
        Assert.Contains("vessel.brimLitres", called.Error, StringComparison.Ordinal);
        Assert.Contains("-2", called.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_trace_with_bad_rows_is_read_and_they_are_reported()
    {
        var trace = Path.Combine(_program.Folder, "trace.csv");
        var forecasts = Path.Combine(_program.Folder, "out.csv");
        var rows = Enumerable.Range(0, 300).Select(i => $"{i * 2},{(i == 150 ? "wet" : $"{400 - (i * 0.05):0.0}")},20,185,23,0,0,1");
        await File.WriteAllTextAsync(trace, "t_s,bucket_ec25_uScm,bucket_temp_C,tank_ec25_uScm,tank_temp_C,float_low,float_high,valve_open\n" + string.Join('\n', rows) + "\n", Stop);
        var called = await _program.CallAsync("replay", "--trace", trace, "--station", "sim-river", "--out", forecasts);
        Assert.Equal(0, called.Exit);
        Assert.Contains("line 152", called.Error, StringComparison.Ordinal);
        Assert.Contains("1 rejected", called.Out, StringComparison.Ordinal);
        Assert.True((await File.ReadAllLinesAsync(forecasts, Stop)).Length > 15);
    }

    [Fact]
    public async Task Rehearse_ends_with_0_when_a_planned_close_ends_the_night_and_with_1_when_a_trip_does()
    {
        Assert.Equal(0, (await _program.CallAsync("rehearse", "sim-river")).Exit);
        var tripped = await _program.CallAsync("rehearse", "sim-river", "--fault", "float-cut@1h", "--hours", "2");
        Assert.Equal(1, tripped.Exit);
        Assert.Contains("The high float is wet", tripped.Out, StringComparison.Ordinal);
    }

    /// <summary>The demo's own folder lies in the state folder: made on the way to it, that one was everybody's to read, and the log of a real station came into it later.</summary>
    [Fact]
    public async Task A_look_without_a_configuration_leaves_the_state_folder_to_its_owner()
    {
        var home = Path.Combine(_program.Folder, "home");
        var process = _program.Start(new Dictionary<string, string> { ["STATE_DIRECTORY"] = "", ["XDG_STATE_HOME"] = home }, "check");
        process.StandardInput.Close();
        await process.WaitForExitAsync(Stop);
        Assert.True(Directory.Exists(Path.Combine(home, "evenwater", "demo")), await process.StandardOutput.ReadToEndAsync(Stop));
        Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute, File.GetUnixFileMode(Path.Combine(home, "evenwater")));
    }
}
