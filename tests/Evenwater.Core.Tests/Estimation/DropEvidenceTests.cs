using Evenwater.Core.Estimation;

namespace Evenwater.CoreTests.Estimation;

/// <summary>By hand: two drops of 0.05 mL a second are 6 mL/min.</summary>
public sealed class DropEvidenceTests
{
    [Fact]
    public void A_counter_that_is_blind_for_a_while_tells_no_slower_drip()
    {
        var (sum, evidence) = (new GaussianSum(), new DropEvidence());
        var h = sum.Add();
        for (var i = 0; i < State.Size; i++) h.Set(i, 0, 1e-4);
        h.Set(State.LnFlow, Math.Log(9), 0.25);
        h.LogWeight = 0;
        var prior = new Prior { StartVolumeLitres = 2, BrimLitres = 12, FlowMillilitresPerMinute = 9, DropMillilitres = 0.05, ToleranceMicrosiemensPerCm = 60 };
        var (before, least) = (0.0, double.PositiveInfinity);
        for (var t = 1; t <= 600; t++)
        {
            var now = MonotonicTime.FromSeconds(t);
            var readings = Readings.None();
            readings[Channel.Drops] = t is > 300 and <= 310 ? Reading.Missing(Reason.NoAnswer, now) : Reading.Of(2, now);
            evidence.Add(readings);
            if (t % 30 != 0) continue;
            evidence.Apply(sum, prior, 30, 1);
            if (t <= 300) before = Math.Exp(sum[0].Mean[State.LnFlow]);
            else least = Math.Min(least, Math.Exp(sum[0].Mean[State.LnFlow]));
        }

        Assert.Equal(6, before, 0.3); // a drop's size is known to a tenth
        Assert.InRange(least, 0.99 * before, 1.01 * before);
    }
}
