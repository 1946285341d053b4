using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Running;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Running;

/// <summary>Which station is meant by who asks over the socket, and what is answered.</summary>
public sealed class SocketVerbsTests : IDisposable
{
    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task A_close_that_names_no_station_closes_all_of_them_and_another_name_is_wrong_use()
    {
        using var log = _folder.Open();
        using var river = RigDrive.River(log);
        using var pond = RigDrive.River(log, "sim-pond");
        river.Begin();
        pond.Begin();
        var directory = new StationDirectory();
        directory.Set(river.Loop);
        directory.Set(pond.Loop);
        Assert.True((await directory.ObeyAsync(new("close", "nobody"))).NotUnderstood);
        foreach (var read in new[] { "status", "alarms", "phase", "release", "readings", "raw" })
        {
            var nobody = await directory.ObeyAsync(new(read, "nobody"));
            Assert.Equal((false, true, false, Exit.WrongUse), (nobody.Ok, nobody.NoSuchStation, nobody.NotUnderstood, AskCommands.Told(nobody))); // wrong use, which no log keeps
        }

        Assert.Equal("Name the station that is meant; nothing was done. There are: sim-pond, sim-river.", (await directory.ObeyAsync(new("reset"))).Text);
        Assert.Equal("Name the station that is meant; nothing was done. There are: sim-pond, sim-river.", (await directory.ObeyAsync(new("reset", ""))).Text); // a shell's variable that was never set
        Assert.Equal((Phase.Dripping, Phase.Dripping), (river.Loop.State.Phase, pond.Loop.State.Phase));
        var closing = directory.ObeyAsync(new("close"));
        river.Go(2);
        pond.Go(2);
        var answer = await closing;
        Assert.True(answer.Ok, answer.Text);
        Assert.Equal(2, answer.Text.Split('\n').Length);
        Assert.Equal((Phase.Holding, Phase.Holding), (river.Loop.State.Phase, pond.Loop.State.Phase));
        river.Go(3);
        pond.Go(3);
        Assert.False(river.Rig.ValveOpen || pond.Rig.ValveOpen);
    }

    /// <summary>Who asked to close it was told that there is no such station, and who named none reset, drew from or ended the only one that was there already.</summary>
    [Fact]
    public async Task A_station_that_goes_through_its_log_is_not_taken_for_one_that_is_not_there_nor_another_for_it()
    {
        using var log = _folder.Open();
        using var drive = RigDrive.River(log);
        drive.Go(3);
        var directory = new StationDirectory { Expected = ["sim-river", "sim-pond"] };
        directory.Set(drive.Loop);
        foreach (var verb in new[] { "reset", "alarms", "phase", "readings" })
        {
            var early = await directory.ObeyAsync(new(verb, "pond"));
            Assert.Equal((false, false), (early.Ok, early.NotUnderstood));
            Assert.Equal("sim-pond has not reported yet: the program starts it and goes through its log, and its valve is closed. Ask again in a few seconds.", early.Text);
        }

        var unnamed = await directory.ObeyAsync(new("reset"));
        Assert.Equal((true, "Name the station that is meant; nothing was done. There are: sim-pond, sim-river."), (unnamed.NotUnderstood, unnamed.Text));
        var nobody = await directory.ObeyAsync(new("close", "nobody"));
        Assert.Equal((true, "There is no station nobody here. There are: sim-pond, sim-river."), (nobody.NotUnderstood, nobody.Text));
        Assert.Contains("sim-pond has not reported yet", (await directory.ObeyAsync(new("alarms"))).Text, StringComparison.Ordinal);
        Assert.Contains("sim-pond has not reported yet", (await directory.ObeyAsync(new("status"))).Text, StringComparison.Ordinal);
        var all = directory.ObeyAsync(new("close"));
        drive.Go(1);
        Assert.False(all.IsCompleted);
        using var pond = RigDrive.River(log, "sim-pond");
        directory.Set(pond.Loop);
        pond.Go(1);
        Assert.Equal("The valve of sim-pond is closed.\nThe valve of sim-river is closed.", (await all).Text);
    }

    [Fact]
    public async Task Water_drawn_off_is_told_over_the_socket_in_a_run_and_refused_outside_one()
    {
        using var log = _folder.Open();
        using var drive = RigDrive.River(log);
        drive.Go(3);
        var directory = new StationDirectory();
        directory.Set(drive.Loop);
        Assert.Contains("has no run", await ToldAsync(new Drawn(1, 0.02)), StringComparison.Ordinal);
        drive.Begin();
        drive.Go(120);
        Assert.Contains("say how many litres", (await directory.ObeyAsync(new("drawn"))).Text, StringComparison.Ordinal);
        Assert.Contains("say how many litres", (await directory.ObeyAsync(new("drawn", Drawn: new Drawn(-1, 0.02)))).Text, StringComparison.Ordinal);
        Assert.Contains("so much water can not be", await ToldAsync(new Drawn(30, 0.02)), StringComparison.Ordinal);
        var told = await ToldAsync(new Drawn(0.5, 0.02));
        Assert.StartsWith("0.5 L were drawn off sim-river, 0.5 L in all; none was planned", told, StringComparison.Ordinal);
        Assert.DoesNotContain("slip", told, StringComparison.Ordinal);
        log.Flush();
        Assert.True(log.Reader.HasEvent("sim-river", "drawn-off"));
        Assert.Equal(0.5, drive.Loop.State.DrawnOffLitres);

        // A pipette's worth is not "0 L".
        Assert.StartsWith("0.004 L were drawn off sim-river, 0.504 L in all;", await ToldAsync(new Drawn(0.004, 0.02)), StringComparison.Ordinal);

        // Five for a half, of some 1.2 L: it may be the forecast that is wrong, so it is believed, but not without a word.
        var slip = await ToldAsync(new Drawn(5, 0.02));
        Assert.Matches(@"^5 L were drawn off sim-river, 5\.504 L in all; .* The forecast had at most 1\.[0-9] L in the vessel: if that was a slip, it forecasts wrongly from now on; close the valve, finish the run, and begin another with the volume as it is\.$", slip);

        async Task<string> ToldAsync(Drawn drawn)
        {
            var asked = directory.ObeyAsync(new("drawn", "sim-river", Drawn: drawn));
            drive.Go(1.5);
            return (await asked).Text;
        }
    }
}
