using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Hardware.Rig;
using Evenwater.Running;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Running;

/// <summary>An opening opens for the budget that was signed, or not at all.</summary>
public sealed class SignedOpeningTests : IDisposable
{
    private static readonly DateTimeOffset Evening = new(2026, 1, 10, 20, 0, 0, TimeSpan.Zero);

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task What_is_left_of_a_held_run_is_what_may_be_signed_for_and_a_stale_budget_opens_nothing()
    {
        using var log = _folder.Open();
        var station = DemoStation.Read();
        using var drive = new RigDrive(new SimulatedRig(station, 1, []), new StationState(station), log, MonotonicTime.FromSeconds(1), Evening.AddSeconds(1));
        drive.Go(3);
        var whole = drive.Loop.Shown.Budget;

        // config/stations/sim-river.json: 10 L and 780 min; the tank may lose 14 L.
        Assert.Equal(new OpeningBudget(10_000, 46_800), whole);
        drive.Begin();
        drive.Go(600);
        _ = drive.Loop.Ask(new Asking(Verb.Close, "test"));
        drive.Go(3);
        var left = drive.Loop.Shown.Budget;

        // 10 min at 15 mL/min are 150 mL; the rig's own drip is near that, not at it.
        Assert.InRange(whole.Millilitres - left.Millilitres, 100, 200);
        Assert.InRange(whole.Seconds - left.Seconds, 595, 610);

        drive.ProofTested(Evening);
        var stale = drive.Loop.Ask(new Asking(Verb.Begin, "test", new StartKnown()) { Signed = whole });
        drive.Go(2);
        Assert.StartsWith("Refused: the opening was signed for 10000 mL and 46800 s", (await stale).Text, StringComparison.Ordinal);
        Assert.Equal(Phase.Holding, drive.Loop.State.Phase);
        log.Flush();
        Assert.True(log.Reader.HasEvent("sim-river", "refused"));

        var good = drive.Loop.Ask(new Asking(Verb.Begin, "test", new StartKnown()) { Signed = left });
        Assert.True(drive.Go(30, () => drive.CommitAnd(drive.Rig.ValveOpen)));
        Assert.True((await good).Obeyed);

        // While it drips its budget shrinks from second to second: asked for another challenge, nobody would ever learn why.
        drive.Go(60);
        var open = drive.Loop.Ask(new Asking(Verb.Begin, "test", new StartKnown()) { Signed = left });
        drive.Go(2);
        Assert.Equal("sim-river drips already: there is nothing to begin.", (await open).Text);
    }
}
