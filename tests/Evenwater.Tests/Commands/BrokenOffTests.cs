using System.CommandLine;
using System.CommandLine.Invocation;
using Evenwater.Commands;

namespace Evenwater.Tests.Commands;

/// <summary>Ctrl-C in a guided command: the keeper is told whether the daemon was asked, and what is told stays true.</summary>
public class BrokenOffTests
{
    [Fact]
    public async Task Broken_off_before_the_daemon_was_asked_it_is_not_asked_any_more()
    {
        using var stop = new CancellationTokenSource();
        var said = new List<string>();
        using var broken = new BrokenOff(said.Add, "nothing was asked", "it was asked", stop.Token, () => said.Add("put back"));
        await stop.CancelAsync();
        Assert.Equal(["nothing was asked", "put back"], said); // a simulated probe had stayed in its standard, and the next run went by it
        Assert.False(broken.MayAsk());
    }

    [Fact]
    public async Task Broken_off_afterwards_it_is_said_that_the_daemon_was_asked()
    {
        using var stop = new CancellationTokenSource();
        var said = new List<string>();
        using (var broken = new BrokenOff(said.Add, "nothing was asked", "it was asked", stop.Token, () => said.Add("put back")))
        {
            Assert.True(broken.MayAsk());
            await stop.CancelAsync();
            Assert.Equal(["it was asked"], said);
        }
    }

    [Fact]
    public async Task A_command_that_has_ended_says_nothing_more()
    {
        using var stop = new CancellationTokenSource();
        var said = new List<string>();
        new BrokenOff(said.Add, "nothing was asked", "it was asked", stop.Token).Dispose();
        await stop.CancelAsync();
        Assert.Empty(said);
    }

    /// <summary>Three of eight times Ctrl-C at the first question of begin ended it by the signal, without a word: the library had not its task yet, and so did not listen.</summary>
    [Fact]
    public async Task A_command_that_asks_at_once_has_given_its_thread_back_before()
    {
        using var asked = new ManualResetEventSlim();
        var command = new Command("asks");
        command.SetAction((_, stop) => Task.FromResult(asked.Wait(TimeSpan.FromSeconds(2), stop) ? 0 : 1));
        Root.GiveBack(command);
        var running = ((AsynchronousCommandLineAction)command.Action!).InvokeAsync(command.Parse(""), TestContext.Current.CancellationToken);
        asked.Set();
        Assert.Equal(0, await running);
    }
}
