using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Running;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Running;

/// <summary>While one keeper is led through the end of a run, netting animals and emptying the vessel, another could go on with it, and its valve opened.</summary>
public sealed class FinishingTests : IDisposable
{
    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task Who_would_go_on_with_a_run_that_somebody_is_ending_is_told_who_and_begins_nothing()
    {
        using var log = _folder.Open();
        using var drive = RigDrive.River(log);
        var directory = new StationDirectory();
        directory.Set(drive.Loop);
        drive.Begin();
        Assert.True((await directory.ObeyAsync(new("release"))).Ok); // who only looks at the steps holds up nobody
        await AskedAsync(Verb.Close);

        var early = drive.Loop.Ask(Begins());
        Assert.True((await directory.ObeyAsync(new("release", Note: "An\nn"))).Ok);
        drive.Go(2);
        Assert.StartsWith("Refused: An n is ending the run of sim-river step by step, for 0 s now, and the vessel may be empty by this. Ask An n: it can go on 10 s after", (await early).Text, StringComparison.Ordinal);
        Assert.StartsWith("Refused: An n is ending the run of sim-river", (await AskedAsync(Verb.Begin)).Text, StringComparison.Ordinal);
        Assert.Equal(Phase.Holding, drive.Loop.State.Phase);
        var phase = await directory.ObeyAsync(new("phase"));
        Assert.StartsWith("Refused: An n is ending the run of sim-river", BeginCommand.WhyNot(phase, "sim-river"), StringComparison.Ordinal); // before any question

        Assert.True((await AskedAsync(Verb.Finish)).Obeyed);
        Assert.Null((await directory.ObeyAsync(new("phase"))).Finishing);
        Assert.True((await AskedAsync(Verb.Begin)).Obeyed); // another run: the former one is over, and with it its end
        Assert.Equal(2, drive.Loop.State.Run!.RunId);

        static Asking Begins() => new(Verb.Begin, "another", new StartKnown(Attended: true));
        async Task<Answer> AskedAsync(Verb verb)
        {
            var asked = drive.Loop.Ask(verb == Verb.Begin ? Begins() : new Asking(verb, "one"));
            drive.Go(2);
            return await asked;
        }
    }

    [Theory] // A valve that is opened then is judged by what is in the cup.
    [InlineData(Phase.Idle)]
    [InlineData(Phase.Holding)]
    public async Task Nobody_begins_a_run_or_goes_on_with_one_while_a_probe_is_led_into_a_cup(Phase phase)
    {
        using var log = _folder.Open();
        using var drive = RigDrive.River(log);
        var directory = new StationDirectory();
        directory.Set(drive.Loop);
        drive.Go(2);
        if (phase == Phase.Holding)
        {
            drive.Begin();
            await AskedAsync(new Asking(Verb.Close, "one"));
        }

        var early = drive.Loop.Ask(Begins());
        await using (new LedInCup("sim-river", "An\nn", ask => directory.ObeyAsync(ask)!))
        {
            drive.Go(2);
            Assert.StartsWith("Refused: An n is calibrating or matching the probes of sim-river, for 0 s now", (await early).Text, StringComparison.Ordinal);
            Assert.StartsWith("Refused: An n is calibrating", (await AskedAsync(Begins())).Text, StringComparison.Ordinal);
            Assert.StartsWith("Refused: An n is calibrating", BeginCommand.WhyNot(await directory.ObeyAsync(new("phase")), "sim-river"), StringComparison.Ordinal);
            Assert.Equal(phase, drive.Loop.State.Phase);
        }

        Assert.True((await AskedAsync(Begins())).Obeyed); // it has ended

        static Asking Begins() => new(Verb.Begin, "another", new StartKnown(Attended: true));
        async Task<Answer> AskedAsync(Asking asking)
        {
            var asked = drive.Loop.Ask(asking);
            drive.Go(2);
            return await asked;
        }
    }

    [Fact]
    public void It_lasts_while_the_terminal_that_leads_says_so_and_ten_seconds_longer()
    {
        var time = new SetTime(LogFolder.Evening, TimeZoneInfo.Utc);
        var finishing = new Finishing(time);
        Assert.Null(finishing.WhyNot("river"));
        for (var said = 0; said < 50; said++)
        {
            finishing.Say("Ann");
            time.Advance(Led.SaidEvery);
        }

        time.Advance(TimeSpan.FromSeconds(6.9));
        Assert.Contains("Ann is ending the run of river step by step, for 2 min now", finishing.WhyNot("river"), StringComparison.Ordinal);
        time.Advance(TimeSpan.FromSeconds(0.2));
        Assert.Null(finishing.WhyNot("river"));
        finishing.Say("Bea");
        Assert.Contains("Bea is ending the run of river step by step, for 0 s now", finishing.WhyNot("river"), StringComparison.Ordinal);
    }
}
