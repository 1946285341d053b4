using Evenwater.Core.Estimation;

namespace Evenwater.CoreTests.Estimation;

/// <summary>One future of the vessel against the integral of its own flow, which has a closed form: q exp(-at), and a multiple of it after the jump.</summary>
public sealed class FuturePathTests
{
    private const double StartLitres = 2;
    private const double MillilitresPerMinute = 20;

    [Theory]
    [InlineData(600, 3)]
    [InlineData(4000, 3)]
    [InlineData(9000, 3)]
    [InlineData(9000, 0.3)]
    [InlineData(14000, 4)]
    public void A_jump_counts_from_its_moment_and_not_from_the_next_step(double jumpSeconds, double factor)
    {
        var prior = new Prior { StartVolumeLitres = StartLitres, BrimLitres = 9, FreeboardLitres = 1, ToleranceMicrosiemensPerCm = 1, EvaporationMillilitresPerHour = 0 };
        var (volume, at) = (StartLitres, 0.0);
        while (volume < prior.BrimLitres - prior.FreeboardLitres)
        {
            at++;
            volume += MillilitresPerMinute / 60_000 * Math.Exp(Process.DriftMean * (at - 0.5) / 3600) * (at > jumpSeconds ? factor : 1);
        }

        // A step is three tenths of the time since the start long. To let a jump wait for the next one moved the brim by up to an eighth.
        Assert.InRange(Brim(prior, jumpSeconds, factor) / at, 0.99, 1.01);
    }

    private static double Brim(Prior prior, double jumpSeconds, double factor)
    {
        var state = new double[State.Size];
        state[State.LnVolume] = Math.Log(StartLitres);
        state[State.LnFlow] = Math.Log(MillilitresPerMinute);
        state[State.Drift] = Process.DriftMean;
        (state[State.Mixed], state[State.Tank]) = (300, 600);
        var draws = new double[new DrawTable(1).Path(0).Length];
        (draws[DrawTable.JumpSeconds], draws[DrawTable.JumpFactor]) = (jumpSeconds, factor);
        var grid = new TimeGrid();
        grid.Lay(new ValvePlan([]), 0);
        var path = new FuturePath(prior, new Hypothesis(), state, PathStart.Of(state), draws, null, default);
        for (var k = 0; k < grid.Count && double.IsInfinity(path.Brim); k++)
        {
            path.Step(grid[k]);
        }

        return path.Brim;
    }
}
