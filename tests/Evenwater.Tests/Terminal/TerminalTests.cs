using Evenwater.Control;
using Evenwater.Core.Telling;
using Evenwater.Page;
using Evenwater.Terminal;
using Evenwater.Tests.Page;
using Spectre.Console;

namespace Evenwater.Tests.Terminal;

public class TerminalTests
{
    private static string Screen(StationView view, int width = 90, bool unicode = true, bool colour = false, double silent = 0)
    {
        using var output = new StringWriter();
        var console = AnsiConsole.Create(new AnsiConsoleSettings
        {
            Out = new AnsiConsoleOutput(output),
            Ansi = colour ? AnsiSupport.Yes : AnsiSupport.No,
            ColorSystem = colour ? ColorSystemSupport.TrueColor : ColorSystemSupport.NoColors,
        });
        console.Profile.Width = width;
        console.Write(TerminalScreen.Of([new Posted(view, silent)], width, unicode));
        return output.ToString();
    }

    [Fact]
    public void The_screen_says_the_word_the_sentence_the_valve_and_that_it_is_simulated()
    {
        var screen = Screen(MadeUp.Night(5.2), width: 200);
        Assert.Contains(" Steady ", screen, StringComparison.Ordinal);
        Assert.Contains("Even with the tank at about 04:15", screen, StringComparison.Ordinal);
        Assert.Contains("valve open", screen, StringComparison.Ordinal);
        Assert.Contains("SIMULATED station, 60 x life", screen, StringComparison.Ordinal);
        Assert.Contains("Not a safety device", screen, StringComparison.Ordinal);
        Assert.Contains("now 01:12", screen, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(20)]
    [InlineData(40)]
    [InlineData(80)]
    [InlineData(300)]
    public void It_fits_any_width_in_every_state(int width)
    {
        foreach (var view in new[] { MadeUp.Night(5.2), MadeUp.Alarm(), MadeUp.CannotTell(), MadeUp.NoRun(), MadeUp.Night(0.01) })
        {
            var screen = Screen(view, width);
            Assert.All(screen.Split('\n'), line => Assert.True(line.Length <= width, line));
            Assert.DoesNotContain("NaN", screen, StringComparison.Ordinal);
            Assert.DoesNotContain("Infinity", screen, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Without_unicode_the_chart_has_no_braille()
    {
        Assert.Contains(Screen(MadeUp.Night(5.2)), c => c is >= '\u2800' and <= '\u28ff');
        var plain = Screen(MadeUp.Night(5.2), unicode: false);
        Assert.DoesNotContain(plain, c => c is >= '\u2800' and <= '\u28ff');
        Assert.Contains("***", plain, StringComparison.Ordinal);
    }

    [Fact]
    public void A_hostile_text_can_not_command_the_terminal()
    {
        var screen = Screen(MadeUp.Alarm() with { Sentence = "a\u001b[2Jb\u0007[red]c", Name = "x\ny\u009b31m" });
        Assert.DoesNotContain('\u001b', screen);
        Assert.DoesNotContain('\u0007', screen);
        Assert.DoesNotContain('\u009b', screen);
        Assert.Contains("[red]c", screen, StringComparison.Ordinal);
    }

    [Fact]
    public void A_silent_station_is_not_believed()
    {
        var screen = Screen(MadeUp.Night(5.2), silent: 400);
        Assert.Contains("Can't tell", screen, StringComparison.Ordinal);
        Assert.Contains("Not heard of for 6 min", screen, StringComparison.Ordinal);

        // As on the page: what the program did and what was to do then is not told as of now, nor are its valve and its values.
        Assert.DoesNotContain("closes by itself when even", screen, StringComparison.Ordinal);
        Assert.Contains("To do: Go and look at the vessel.", screen, StringComparison.Ordinal);
        Assert.Contains("valve open when last heard of", screen, StringComparison.Ordinal);
        Assert.Contains("stale", screen, StringComparison.Ordinal);
        var line = new PlainLines().Next(new(MadeUp.Night(5.2), 400), 0);
        Assert.EndsWith("Go and look at the vessel. See whether the program and its computer still run. Valve open when last heard of.", line, StringComparison.Ordinal);
    }

    /// <summary>While a cycle stood still 'evenwater check' was content with the daemon, and 'alarms' said that none stands.</summary>
    [Fact]
    public void Who_asks_how_things_stand_is_told_first_which_station_has_fallen_silent()
    {
        var time = new SteppedTime();
        var board = new StationBoard(time);
        board.Post(MadeUp.NoRun() with { Name = "pond" });
        board.Post(MadeUp.Night(5.2));
        var stands = new ControlAnswer(true, "sim-river: no alarm stands.");
        Assert.Same(stands, SilentStations.Before(stands, board, null));
        time.Pass(400);
        board.Post(MadeUp.NoRun() with { Name = "pond" });
        var told = SilentStations.Before(stands, board, null);
        Assert.Equal(
            (false, "sim-river has not reported for 6 min: what follows of it is old. Go and look at the vessel. See whether the program and its computer still run.\nsim-river: no alarm stands."),
            (told.Ok, told.Text));
        Assert.Equal(told, SilentStations.Before(stands, board, "sim-river"));
        Assert.Same(stands, SilentStations.Before(stands, board, "pond"));
    }

    [Fact]
    public void A_line_is_told_on_change_and_every_half_minute_only()
    {
        var lines = new PlainLines();
        var view = MadeUp.Night(5.2);
        Assert.NotNull(lines.Next(new(view, 0), 0));
        Assert.Null(lines.Next(new(view with { Sentence = "the clock time in here moved", Now = view.Now.AddSeconds(60) }, 0), 1));
        Assert.NotNull(lines.Next(new(view with { ValveOpen = false }, 0), 2));
        Assert.Null(lines.Next(new(view with { ValveOpen = false }, 0), 31.9));
        Assert.NotNull(lines.Next(new(view with { ValveOpen = false }, 0), 32));
        var act = lines.Next(new(MadeUp.Alarm(), 0), 33);
        Assert.Contains("01:12:00 sim-river (simulated, 60 x life) Act: The floor by the vessel is wet. Go to the vessel now.", act, StringComparison.Ordinal);
        Assert.Contains("Valve closed", act, StringComparison.Ordinal);
        Assert.NotNull(lines.Next(new(MadeUp.Alarm() with { Name = "goby" }, 0), 33));
    }

    [Fact]
    public async Task Where_there_is_no_terminal_it_prints_plain_lines_without_escapes()
    {
        using var output = new StringWriter();
        var board = new StationBoard(TimeProvider.System);
        board.Post(MadeUp.Night(5.2));
        using var stop = new CancellationTokenSource();
        var run = new TerminalView(board, TerminalView.ConsoleFor(output, noColor: null, redirected: true), TimeProvider.System).RunAsync(stop.Token);
        await stop.CancelAsync();
        await run;
        var line = Assert.Single(output.ToString().Split('\n', StringSplitOptions.RemoveEmptyEntries));
        Assert.StartsWith("01:12:00 sim-river", line, StringComparison.Ordinal);
        Assert.DoesNotContain('\u001b', line);
    }

    [Fact]
    public async Task On_a_terminal_the_screen_is_drawn()
    {
        using var output = new StringWriter();
        var console = AnsiConsole.Create(new AnsiConsoleSettings { Out = new AnsiConsoleOutput(output), Ansi = AnsiSupport.Yes, ColorSystem = ColorSystemSupport.NoColors });
        var board = new StationBoard(TimeProvider.System);
        board.Post(MadeUp.Night(5.2));
        using var stop = new CancellationTokenSource();
        var run = new TerminalView(board, console, TimeProvider.System).RunAsync(stop.Token);
        await stop.CancelAsync();
        await run;
        Assert.Contains("Even with the tank at about 04:15", output.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void No_color_is_respected_and_colour_is_otherwise_used()
    {
        using var output = new StringWriter();
        Assert.Equal(ColorSystem.NoColors, TerminalView.ConsoleFor(output, noColor: "1", redirected: false).Profile.Capabilities.ColorSystem);
        Assert.Contains("\u001b[", Screen(MadeUp.Night(1) with { Word = StateWord.Act }, colour: true), StringComparison.Ordinal);
    }
}
