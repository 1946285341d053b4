using System.Net.Sockets;
using System.Text;
using Evenwater.Control;
using Evenwater.Core.Keeping;
using Evenwater.Log;
using Evenwater.Options;
using Evenwater.Tests.Servers;

namespace Evenwater.Tests.Daemon;

/// <summary>The running daemon, asked as a keeper asks it.</summary>
public sealed class DaemonTests : IDisposable
{
    private readonly ProgramUnderTest _program = new();

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    public void Dispose() => _program.Dispose();

    /// <summary>A front end whose resistor is far too large stands at the end of its scale: the daemon said so in a line below its "ok".</summary>
    [Fact]
    public async Task Check_is_not_content_with_a_daemon_whose_probe_gives_nothing_nor_with_a_station_that_it_does_not_know()
    {
        var file = Path.Combine(_program.Folder, "station.json");
        var text = await File.ReadAllTextAsync(file, Stop);
        await File.WriteAllTextAsync(file, text.Replace("\"adcInput\": 0,", "\"adcInput\": 0, \"feedbackOhms\": 1000000,", StringComparison.Ordinal), Stop);

        // Beside it a station on a board that this computer has not got: it is told, and keeps the other from nothing.
        await File.WriteAllTextAsync(
            Path.Combine(_program.Folder, "creek.json"), text.Replace("\"sim-river\"", "\"creek\"", StringComparison.Ordinal).Replace("\"simulated\"", "\"board\"", StringComparison.Ordinal), Stop);
        await File.WriteAllTextAsync(_program.Configuration, (await File.ReadAllTextAsync(_program.Configuration, Stop)).Replace("\"station.json\"", "\"station.json\", \"creek.json\"", StringComparison.Ordinal), Stop);
        _program.Start("serve", "--config", _program.Configuration);
        await _program.PageAsync(page => page.Contains("out of range", StringComparison.Ordinal), "/stations/sim-river");
        await _program.PageAsync(page => page.Contains("board does not answer yet.", StringComparison.Ordinal), "/stations/creek");
        await File.WriteAllTextAsync(file, text, Stop); // mended in the file, and the daemon not started anew
        await File.WriteAllTextAsync(Path.Combine(_program.Folder, "pond.json"), text.Replace("\"sim-river\"", "\"sim-pond\"", StringComparison.Ordinal), Stop);
        await File.WriteAllTextAsync(_program.Configuration, (await File.ReadAllTextAsync(_program.Configuration, Stop)).Replace("\"station.json\"", "\"station.json\", \"pond.json\"", StringComparison.Ordinal), Stop);

        var called = await _program.CallAsync("check", "--config", _program.Configuration);
        Assert.Equal(1, called.Exit);
        Assert.Contains("BAD  sim-river, vessel conductivity: out of range: see that it is in its water", called.Out, StringComparison.Ordinal);
        Assert.DoesNotContain("BAD  sim-river, tank", called.Out, StringComparison.Ordinal);
        Assert.Contains("BAD  creek: sensors.gpioChipLabel \"sim-chip\" ", called.Out, StringComparison.Ordinal);
        Assert.DoesNotContain("BAD  creek, vessel conductivity", called.Out, StringComparison.Ordinal);
        Assert.Contains("BAD  sim-river: the station file of sim-river was changed after the daemon had read it: sensors.vesselConductivity.feedbackOhms is 2000 in the file and 1000000 in the daemon. ", called.Out, StringComparison.Ordinal);
        Assert.DoesNotContain("the station file of creek", called.Out, StringComparison.Ordinal);
        var begun = await _program.CallAsync("begin", file, "--attended", "--yes");
        Assert.Equal(1, begun.Exit);
        Assert.StartsWith("Refused: the station file of sim-river was changed", begun.Error, StringComparison.Ordinal);
        Assert.Contains("BAD  sim-pond: There is no station sim-pond here. The daemon that runs was started with another configuration: start it anew.", called.Out, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_run_begins_drips_closes_and_finishes_and_all_of_it_is_in_the_log()
    {
        var daemon = _program.Start("serve", "--config", _program.Configuration);
        await _program.PageAsync(page => page.Contains("sim-river", StringComparison.Ordinal));

        var came = await _program.CallAsync("arrival", "river", "--add", "rice fish <and> snails", "--count", "18", "--grams", "9", "--conductivity", "410", "--temperature", "19.5", "--by", "Ann");
        Assert.Equal((0, "Written as n1 into the book of sim-river: arrival.\n"), (came.Exit, came.Out));
        var none = await _program.CallAsync("report", "--out", Path.Combine(_program.Folder, "run.html"));
        Assert.Equal((2, "--run = (not said): sim-river has had no run yet. One is reported from its beginning on.\n"), (none.Exit, none.Error));
        var begun = await _program.CallAsync("begin", "sim-river", "--arrival", "--start-volume", "1.6", "--jug", "true", "--flow", "15", "--matched", "true", "--attended", "--yes");
        Assert.Equal((0, ""), (begun.Exit, begun.Error));
        Assert.StartsWith("For arrival n1: 18 x rice fish <and> snails, 9 g together, 410 µS/cm, 19.5 °C.\n", begun.Out, StringComparison.Ordinal);
        await _program.PageAsync(page => page.Contains("The valve is open", StringComparison.Ordinal));

        var checkedUp = await _program.CallAsync("check", "--config", _program.Configuration);
        Assert.Contains("vessel conductivity: 4", checkedUp.Out, StringComparison.Ordinal);
        Assert.Contains("\n     sim-river, proof test: never done: run 'evenwater check --proof'", checkedUp.Out, StringComparison.Ordinal); // no fault
        Assert.Matches(@"ok   log: \d+ (bytes|kB), \d+ readings, \d+\.\d bytes for each, \d+ [kM]?B free; the oldest that is not on the disk yet has waited [0-6]\.\d s", checkedUp.Out);
        var metrics = await _program.PageAsync(text => text.Contains("evenwater_log_committing 1\n", StringComparison.Ordinal), "/metrics");
        Assert.Contains("evenwater_valve_open{station=\"sim-river\"} 1\n", metrics, StringComparison.Ordinal);

        var nobody = await _program.CallAsync("close", "nobody");
        Assert.Equal(2, nobody.Exit); // wrong use, as everywhere
        var closed = await _program.CallAsync("close");
        Assert.Equal((0, "The valve of sim-river is closed.\n"), (closed.Exit, closed.Out));
        var others = new Note { Kind = NoteKind.Arrival, By = "Ann", Arrival = new() { Species = "shrimps for tomorrow", Count = 2 } };
        Assert.True((await ControlClient.AskAsync(Places.Socket(_program.State), new ControlAsk("note") { Written = others }))?.Ok);
        var many = await _program.CallAsync("finish", "river", "--alive", "18", "--dead", "1");
        Assert.Equal((2, "--alive = 18, --dead = 1: allowed is at most the 18 that came, together. Count again, or correct the arrival. The run goes on; finish it with the right count.\n"), (many.Exit, many.Error));
        var unwritable = await _program.CallAsync("report", "--out", Path.Combine(_program.Folder, "nowhere", "run.html"));
        Assert.Equal(2, unwritable.Exit);
        Assert.Matches(@"^--out \S+/nowhere/run\.html: the folder it would be in is not there; make it first\.\n$", unwritable.Error);
        var finished = await _program.CallAsync("finish", "river", "--alive", "18", "--dead", "0");
        Assert.Equal(0, finished.Exit);
        Assert.Contains("abandoned", finished.Out, StringComparison.Ordinal);
        Assert.Contains("3. Net the animals over", finished.Out, StringComparison.Ordinal);
        Assert.Contains("Written as n3 into the book of sim-river: outcome.", finished.Out, StringComparison.Ordinal);
        var written = await _program.CallAsync("journal", "river", "--add", "feed", "a pinch", "--by", "Ann");
        Assert.Equal((0, "Written as n4 into the book of sim-river: feed.\n"), (written.Exit, written.Out));
        var tooLong = await _program.CallAsync("journal", "river", "--add", "feed", new string('\u00e9', 20_000));
        Assert.Equal((2, "Not written: text: 20000 characters. Allowed: up to 1000 characters. Say it shorter, or in two notes.\n"), (tooLong.Exit, tooLong.Error));
        var listed = await _program.CallAsync("journal");
        Assert.Contains("feed          a pinch  (Ann)", listed.Out, StringComparison.Ordinal);

        daemon.Kill(entireProcessTree: true);
        await daemon.WaitForExitAsync(Stop);
        var without = await _program.CallAsync("check", "--config", _program.Configuration);
        Assert.Matches(@"ok   log: \d+ (bytes|kB), \d+ readings, \d+\.\d bytes for each, \d+ [kM]?B free\n", without.Out);
        Assert.Contains("\n     sim-river, proof test: never done: run 'evenwater check --proof'", without.Out, StringComparison.Ordinal);
        var alone = await _program.CallAsync("journal", "--correct", "n4", "--text", "two pinches", "--by", "Bea");
        Assert.Equal((0, "n5 stands in place of n4; the book of sim-river keeps both.\n"), (alone.Exit, alone.Out));
        using var log = NightLog.Open(_program.State);
        Assert.Equal(["", "", "", "a pinch", "two pinches"], Evenwater.Keeping.Books.Notes(log.Reader, "sim-river").Select(note => note.Text));
        var entries = log.Reader.Read(0, 10_000);
        Assert.Equal(
            ["armed", "opening", "dripping", "holding", "abandoned"],
            entries.Where(e => e.Kind == EntryKind.Run).Select(e => LogJson.Read<RunBody>(e.Body!).Phase));
        Assert.Equal([true, false], entries.Where(e => e.Kind == EntryKind.Valve).Select(e => LogJson.Read<ValveBody>(e.Body!).Open));
        Assert.Contains(entries, e => e.Kind == EntryKind.Event && e.Body!.Contains("alive 18, dead 0", StringComparison.Ordinal));

        var run = entries.First(e => e.Kind == EntryKind.Run).RunId;
        Assert.Equal(new Evenwater.Core.Keeping.OutcomeRecord { Arrival = "n1", Run = run, Look = Evenwater.Core.Keeping.Look.Release, Alive = 18, Dead = 0 }, Evenwater.Keeping.Books.Notes(log.Reader, "sim-river").ElementAt(2).Outcome);
        Assert.Contains(entries, e => e.Kind == EntryKind.Event && e.RunId == run && LogJson.Read<EventBody>(e.Body!) is { Name: "run-animals", Arrival: "n1" });

        // The opening was committed before the valve was told to open.
        Assert.True(entries.First(e => e.Kind == EntryKind.Run).Id < entries.First(e => e.Kind == EntryKind.Valve).Id);
    }

    [Fact]
    public async Task A_shelved_alarm_is_still_shelved_after_the_daemon_was_killed_and_started_again()
    {
        var daemon = _program.Start("serve", "--config", _program.Configuration);
        await _program.PageAsync(page => page.Contains("sim-river", StringComparison.Ordinal));
        var shelved = await _program.CallAsync("shelve", "drip-slow", "--for", "2h", "--reason", "flushing the tube");
        Assert.Equal((0, "drip-slow is shelved for 2 h; it then calls by itself if it is still so. No trip was changed.\n"), (shelved.Exit, shelved.Out));
        var refused = await _program.CallAsync("shelve", "leak", "--for", "2h", "--reason", "noise");
        Assert.Equal(1, refused.Exit);
        Assert.Contains("never shelved", refused.Error, StringComparison.Ordinal);
        daemon.Kill(entireProcessTree: true);
        await daemon.WaitForExitAsync(Stop);

        var again = _program.Start("serve", "--config", _program.Configuration);
        var page = await _program.PageAsync(page => page.Contains("The drip has nearly stopped", StringComparison.Ordinal));
        Assert.Contains("put aside by a person (flushing the tube).", page, StringComparison.Ordinal);
        Assert.Contains("drip-slow: shelved", (await _program.CallAsync("alarms")).Out, StringComparison.Ordinal);
        Assert.Equal(0, (await _program.CallAsync("unshelve", "drip-slow")).Exit);

        // Its clock goes on from there: two nights drawn over one another could not be told apart, and a note of the first would lie ahead.
        using var log = new LogReader(_program.State, 2);
        var walls = log.Read(0, 10_000).Select(entry => entry.Wall).ToList();
        Assert.Equal(walls.Order(), walls);

        // The window or the connection is closed that it was started in: a stop like another, and not a death with the valve's line as it was (signal(7): SIGHUP).
        using var hangup = System.Diagnostics.Process.Start("kill", ["-HUP", $"{again.Id}"]);
        await again.WaitForExitAsync(Stop);
        Assert.Equal(0, again.ExitCode);
        Assert.Contains("every valve is closed", await again.StandardError.ReadToEndAsync(Stop), StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_unattended_run_is_refused_before_a_proof_test()
    {
        var daemon = _program.Start("serve", "--config", _program.Configuration);
        await _program.PageAsync(page => page.Contains("sim-river", StringComparison.Ordinal));
        var begun = await _program.CallAsync("begin", "sim-river", "--yes");
        Assert.Equal(1, begun.Exit);
        Assert.Contains("check --proof", begun.Error, StringComparison.Ordinal);

        // Known before the questions: it had been told after them, and after five minutes with a cup.
        var phase = await ControlClient.AskAsync(Places.Socket(_program.State), new ControlAsk("phase", "sim-river"));
        Assert.StartsWith("Refused: not to be left alone. The proof test: never done", phase?.NotAlone, StringComparison.Ordinal);
        var piped = await _program.CallPipedAsync("begin sim-river --yes");
        Assert.Contains("check --proof", piped, StringComparison.Ordinal); // it had asked, and broken off with a stack trace
        Assert.DoesNotContain("[y/n]", piped, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_second_daemon_on_the_same_state_names_the_first()
    {
        var daemon = _program.Start("serve", "--config", _program.Configuration);
        await _program.PageAsync(page => page.Contains("sim-river", StringComparison.Ordinal));
        var second = await _program.CallAsync("serve", "--config", _program.Configuration);
        Assert.Equal(2, second.Exit);
        Assert.Contains($"process {daemon.Id}", second.Error, StringComparison.Ordinal);

        using var elsewhere = new ProgramUnderTest();
        await File.WriteAllTextAsync(elsewhere.Configuration, $$"""{ "stations": ["station.json"], "page": { "port": {{_program.PagePort}} } }""", Stop);
        var third = await elsewhere.CallAsync("serve", "--config", elsewhere.Configuration);
        Assert.Equal(1, third.Exit);
        Assert.Equal(
            $"Can not serve: the page can not listen on 127.0.0.1, port {_program.PagePort}: the port is taken. `ss -ltnp 'sport = :{_program.PagePort}'` names the holder; choose another by page.port.\n",
            third.Error); // and no stack trace of the host's beside it
    }

    /// <summary>One daemon for all of them: each line is answered and kept by itself, and none of them opens anything.</summary>
    [Fact]
    public async Task Every_malformed_line_is_answered_kept_and_changes_nothing()
    {
        string[] lines =
        [
            "not json\n",
            "{\"verb\":\"open\"}\n",
            "{\"verb\":\"close\",\"extra\":1}\n",
            "{\"verb\":\"open\",\"verb\":\"close\"}\n",
            "{\"verb\":\"begin\",\"station\":\"sim-river\",\"known\":{\"startVolumeLitres\":\"much\"}}\n",
            "null\n",
            "{\"verb\":\"drawn\",\"drawn\":{\"litres\":-1,\"relativeSd\":0.1}}\n",
            "{\"verb\":\"begin\",\"station\":\"no-such\"}\n",
        ];
        var daemon = _program.Start("serve", "--config", _program.Configuration);
        await _program.PageAsync(page => page.Contains("sim-river", StringComparison.Ordinal));
        foreach (var line in lines)
        {
            using var socket = await ConnectAsync();
            await socket.SendAsync(Encoding.UTF8.GetBytes(line), Stop);
            var answer = await ReceiveAsync(socket);
            Assert.True(answer.Contains("\"ok\":false", StringComparison.Ordinal), $"{line}: {answer}");
            using var asker = await ConnectAsync();
            await asker.SendAsync("{\"verb\":\"close\"}\n"u8.ToArray(), Stop);
            answer = await ReceiveAsync(asker);
            Assert.True(answer.Contains("\"ok\":true", StringComparison.Ordinal), $"after {line}: {answer}");
        }

        Assert.Equal(0, (await _program.CallAsync("close")).Exit);
        daemon.Kill(entireProcessTree: true);
        await daemon.WaitForExitAsync(Stop);
        using var log = NightLog.Open(_program.State);
        var entries = log.Reader.Read(0, 10_000);
        Assert.Equal(lines.Length, entries.Count(e => e.Kind == EntryKind.Event && LogJson.Read<EventBody>(e.Body!).Name == "command-refused"));
        Assert.DoesNotContain(entries, e => e.Kind == EntryKind.Valve && LogJson.Read<ValveBody>(e.Body!).Open);
    }

    [Fact]
    public async Task A_damaged_log_is_set_aside_whole_and_the_new_one_tells_of_it()
    {
        var file = Path.Combine(_program.State, LogFile.Name);
        await File.WriteAllTextAsync(file, new string('x', 5000), Stop);
        var daemon = _program.Start("serve", "--config", _program.Configuration);
        await _program.PageAsync(page => page.Contains("sim-river", StringComparison.Ordinal));
        var aside = Assert.Single(Directory.GetFiles(_program.State, "night-damaged-*.sqlite"));
        Assert.Equal(new string('x', 5000), await File.ReadAllTextAsync(aside, Stop));
        EventBody? told = null;
        for (var i = 0; i < 100 && told is null; i++)
        {
            await Task.Delay(50, Stop);
            using var reader = new LogReader(_program.State, 2);
            told = reader.LastEvent("sim-river", "log-begun-anew");
        }

        daemon.Kill(entireProcessTree: true);
        await daemon.WaitForExitAsync(Stop);
        Assert.Contains(Path.GetFileName(aside), told?.Text, StringComparison.Ordinal);
        Assert.Contains("begins tripped", told?.Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_run_that_can_not_be_read_back_stops_the_start_in_words_and_is_kept_for_the_next()
    {
        using (var log = NightLog.Open(_program.State))
        {
            log.StartBoot("test", simulated: true);
        }

        using (var connection = new Microsoft.Data.Sqlite.SqliteConnection($"Data Source={Path.Combine(_program.State, LogFile.Name)};Pooling=False"))
        {
            connection.Open();
            using var spoil = connection.CreateCommand();
            spoil.CommandText = "ALTER TABLE entry RENAME COLUMN run_id TO run_number";
            spoil.ExecuteNonQuery();
        }

        var refused = _program.Start("serve", "--config", _program.Configuration);
        await refused.WaitForExitAsync(Stop);
        Assert.Equal(1, refused.ExitCode);
        var said = await refused.StandardError.ReadToEndAsync(Stop);
        Assert.Contains("Nothing is opened, and the daemon stops.", said, StringComparison.Ordinal);
        Assert.DoesNotContain("   at Evenwater", said, StringComparison.Ordinal);
        Assert.Contains(LogFile.Name, Assert.Single(RefusedStarts.Kept(_program.State)), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Askers_who_say_nothing_hold_up_nobody_and_a_line_too_long_is_answered()
    {
        _program.Start("serve", "--config", _program.Configuration);
        await _program.PageAsync(page => page.Contains("sim-river", StringComparison.Ordinal));
        var silent = new List<Socket>();
        for (var i = 0; i < 3; i++)
        {
            silent.Add(await ConnectAsync());
        }

        var asked = System.Diagnostics.Stopwatch.StartNew();
        using var asker = await ConnectAsync();
        await asker.SendAsync("{\"verb\":\"close\"}\n"u8.ToArray(), Stop);
        Assert.Contains("closed", await ReceiveAsync(asker), StringComparison.Ordinal);
        Assert.InRange(asked.Elapsed.TotalSeconds, 0, 1.9);

        using var talker = await ConnectAsync();
        await talker.SendAsync(Encoding.UTF8.GetBytes(new string('x', 40_000) + "\n"), Stop);
        Assert.Contains("at most 16384 bytes", await ReceiveAsync(talker), StringComparison.Ordinal);
        silent.ForEach(s => s.Dispose());
    }

    [Fact]
    public async Task A_state_folder_that_can_not_be_is_said_in_one_line()
    {
        var serving = _program.Start(new Dictionary<string, string> { ["STATE_DIRECTORY"] = _program.Configuration }, "serve", "--config", _program.Configuration);
        await serving.WaitForExitAsync(Stop);
        Assert.Equal(1, serving.ExitCode);
        Assert.Single((await serving.StandardError.ReadToEndAsync(Stop)).TrimEnd().Split('\n'));
        var longest = Path.Combine(_program.Folder, new string('x', 120));
        serving = _program.Start(new Dictionary<string, string> { ["STATE_DIRECTORY"] = longest }, "serve", "--config", _program.Configuration);
        await serving.WaitForExitAsync(Stop);
        Assert.Equal(1, serving.ExitCode);
        Assert.Contains("too long", await serving.StandardError.ReadToEndAsync(Stop), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Ready_is_told_from_completed_cycles_and_a_stop_closes_at_once_and_ends_well_though_the_broker_hangs()
    {
        using var broker = new Mosquitto();
        await broker.StartAsync();
        await using var listener = await Listener.StartAsync(broker.Port, "evenwater/v1/sim-river/state");
        await File.WriteAllTextAsync(_program.Configuration, $$"""{ "stations": ["station.json"], "page": { "port": {{_program.PagePort}} }, "mqtt": { "host": "127.0.0.1", "port": {{broker.Port}} } }""", Stop);
        var path = Path.Combine(_program.Folder, "notify.sock");
        using var systemd = new Socket(AddressFamily.Unix, SocketType.Dgram, ProtocolType.Unspecified);
        systemd.Bind(new UnixDomainSocketEndPoint(path));
        var daemon = _program.Start(
            new Dictionary<string, string> { ["NOTIFY_SOCKET"] = path, ["WATCHDOG_USEC"] = "1500000" },
            "serve", "--config", _program.Configuration);
        Assert.Equal("READY=1\nWATCHDOG=1", await ReceiveAsync(systemd));
        Assert.Equal("WATCHDOG=1", await ReceiveAsync(systemd));
        await listener.WaitForAsync(_ => true);
        await broker.PauseAsync();
        var asked = System.Diagnostics.Stopwatch.StartNew();
        using var stop = System.Diagnostics.Process.Start("kill", ["-TERM", $"{daemon.Id}"]);
        var closed = ClosedAfterAsync(daemon.StandardError, asked);
        string last;
        while ((last = await ReceiveAsync(systemd)) == "WATCHDOG=1")
        {
        }

        Assert.StartsWith("STOPPING=1\n", last, StringComparison.Ordinal);
        await daemon.WaitForExitAsync(Stop);
        Assert.Equal(0, daemon.ExitCode);
        Assert.InRange(await closed, TimeSpan.Zero, asked.Elapsed - TimeSpan.FromSeconds(2)); // and not only when the broker was waited for
        await broker.ContinueAsync();

        static async Task<TimeSpan> ClosedAfterAsync(StreamReader said, System.Diagnostics.Stopwatch asked)
        {
            while (await said.ReadLineAsync() is { } line)
            {
                if (line.Contains("every valve is closed", StringComparison.Ordinal))
                {
                    return asked.Elapsed;
                }
            }

            return TimeSpan.MaxValue;
        }
    }

    [Fact]
    public async Task Under_systemd_a_lost_configuration_never_becomes_a_demo()
    {
        var serving = _program.Start(new Dictionary<string, string> { ["INVOCATION_ID"] = "1" }, "serve");
        await serving.WaitForExitAsync(Stop);
        Assert.Equal(2, serving.ExitCode);
        Assert.Contains("No configuration", await serving.StandardError.ReadToEndAsync(Stop), StringComparison.Ordinal);
    }

    private async Task<Socket> ConnectAsync()
    {
        var socket = new Socket(AddressFamily.Unix, SocketType.Stream, ProtocolType.Unspecified);
        await socket.ConnectAsync(new UnixDomainSocketEndPoint(Path.Combine(_program.State, "control.sock")), Stop);
        return socket;
    }

    private static async Task<string> ReceiveAsync(Socket socket)
    {
        var buffer = new byte[256];
        using var patience = new CancellationTokenSource(TimeSpan.FromSeconds(45));
        return Encoding.UTF8.GetString(buffer, 0, await socket.ReceiveAsync(buffer, patience.Token));
    }
}
