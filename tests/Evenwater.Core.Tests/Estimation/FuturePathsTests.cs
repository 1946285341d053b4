using Evenwater.Core.Estimation;

namespace Evenwater.CoreTests.Estimation;

/// <summary>One future of the vessel against the integral of its own flow, which has a closed form: q exp(-at), and a multiple of it after the jump.</summary>
public sealed class FuturePathsTests
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
        var h = new Hypothesis();
        h.Mean[State.LnVolume] = Math.Log(StartLitres);
        h.Mean[State.LnFlow] = Math.Log(MillilitresPerMinute);
        h.Mean[State.Drift] = Process.DriftMean;
        (h.Mean[State.Mixed], h.Mean[State.Tank]) = (300, 600);
        var draws = new DrawTable(1);
        for (var column = 0; column < DrawTable.Columns; column++)
        {
            draws.Column(column).Clear();
        }

        // Only the middle one of the paths that go side by side jumps as told; its neighbours jump sooner, later and never.
        draws.Column(DrawTable.JumpSeconds).Fill(float.PositiveInfinity);
        draws.Column(DrawTable.JumpFactor).Fill((float)factor);
        var jumps = draws.Column(DrawTable.JumpSeconds)[8..];
        (jumps[0], jumps[1], jumps[2]) = ((float)jumpSeconds / 2, (float)jumpSeconds, (float)jumpSeconds * 2);
        var starts = new PathStarts(draws);
        starts.Draw(h, 0, DrawTable.Paths);
        var grid = new TimeGrid();
        grid.Lay(new ValvePlan([]), 0);
        var paths = new FuturePaths(prior, starts, draws, 8, null, default);
        for (var k = 0; k < grid.Count && double.IsInfinity(paths.Brim[1]); k++)
        {
            paths.Step(grid[k]);
        }

        return paths.Brim[1];
    }
}
