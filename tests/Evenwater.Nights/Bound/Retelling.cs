using Evenwater.Nights.Plant;

namespace Evenwater.Nights.Bound;

/// <summary>
/// Steps that change how large a path's chance is and leave the path itself as it was: where the readings show the path, no other step would ever change
/// that size (Yu and Meng 2011, "To center or not to center", interweaving). The likelihood is the same before and after.
/// </summary>
internal sealed class Retelling(NightLaw law)
{
    private const double Length = 0.7;
    private readonly Latents _was = law.Room();
    private readonly Latents _is = law.Room();

    /// <summary>Proposes the same paths told by other sizes.</summary>
    /// <param name="u">As it is.</param>
    /// <param name="to">Filled with the proposal.</param>
    /// <param name="chance">Where it comes from.</param>
    /// <returns>ln of how much the numbers were spread; -infinity when there are no such numbers.</returns>
    public double Propose(ReadOnlySpan<double> u, Span<double> to, Chance chance)
    {
        u.CopyTo(to);
        var which = chance.Whole(0, 2);
        ReadOnlySpan<int> sizes = which == 0 ? [NightLaw.WanderSd, NightLaw.WanderSeconds] : which == 1 ? [NightLaw.Walk] : [NightLaw.TankSd];
        foreach (var size in sizes)
        {
            to[size] += Length * chance.Gauss();
        }

        law.Map(u, Vessel.Body, _was);
        law.Map(to, Vessel.Body, _is);
        return which == 0 ? Wander(u, to) : which == 1 ? Walk(u, to) : Tank(to);
    }

    private double Wander(ReadOnlySpan<double> u, Span<double> to)
    {
        var (keep, nowKeep) = (Keep(_was), Keep(_is));
        var (kick, nowKick) = (_was.FlowWanderSd * Math.Sqrt(1 - (keep * keep)), _is.FlowWanderSd * Math.Sqrt(1 - (nowKeep * nowKeep)));
        var path = _was.FlowWanderSd * u[NightLaw.Fixed];
        to[NightLaw.Fixed] = path / _is.FlowWanderSd;
        for (var i = 0; i < law.FlowPieces; i++)
        {
            var at = NightLaw.Fixed + 1 + (2 * i);
            var next = (keep * path) + (kick * u[at]);
            to[at] = (next - (nowKeep * path)) / nowKick;
            path = next;
        }

        return Math.Log(_was.FlowWanderSd / _is.FlowWanderSd) + (law.FlowPieces * Math.Log(kick / nowKick));
    }

    private double Walk(ReadOnlySpan<double> u, Span<double> to)
    {
        var (row, now) = (Row(_was), Row(_is));
        var spread = 0.0;
        for (var i = 0; i < law.FlowPieces; i++)
        {
            var at = NightLaw.Fixed + 2 + (2 * i);
            var (number, slope) = HeavySteps.Back(HeavySteps.Of(u[at], row), now);
            if (double.IsNaN(number))
            {
                return double.NegativeInfinity;
            }

            to[at] = number;
            spread += Math.Log(HeavySteps.Slope(u[at], row) / slope);
        }

        return spread;
    }

    private double Tank(Span<double> to)
    {
        var ratio = _was.TankWanderSd / _is.TankWanderSd;
        to[NightLaw.Fixed - 1] *= ratio;
        foreach (ref var x in to[^law.TankKnots..])
        {
            x *= ratio;
        }

        return (law.TankKnots + 1) * Math.Log(ratio);
    }

    private static double Keep(Latents of) => Math.Exp(-Steps.FlowSeconds / of.FlowWanderSeconds);

    private static double Row(Latents of) => HeavySteps.RowOf(of.FlowWalk * Math.Sqrt(Steps.FlowSeconds / 3600));
}
