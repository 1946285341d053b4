namespace Evenwater.Core.Mixing;

/// <summary>Rates of change of a state at a time.</summary>
/// <param name="time">The time.</param>
/// <param name="state">The state.</param>
/// <param name="rates">To be filled, one for each element of the state.</param>
public delegate void RatesOfChange(double time, ReadOnlySpan<double> state, Span<double> rates);

/// <summary>Dormand-Prince 5(4) with adaptive steps (Dormand and Prince 1980, J. Comput. Appl. Math. 6:19, table 2).</summary>
public static class Integrator
{
    private const int Stages = 7;
    private const int MostSteps = 1_000_000;

    private static readonly double[] Nodes = [0, 1.0 / 5, 3.0 / 10, 4.0 / 5, 8.0 / 9, 1, 1];

    private static readonly double[][] Weights =
    [
        [],
        [1.0 / 5],
        [3.0 / 40, 9.0 / 40],
        [44.0 / 45, -56.0 / 15, 32.0 / 9],
        [19372.0 / 6561, -25360.0 / 2187, 64448.0 / 6561, -212.0 / 729],
        [9017.0 / 3168, -355.0 / 33, 46732.0 / 5247, 49.0 / 176, -5103.0 / 18656],
        [35.0 / 384, 0, 500.0 / 1113, 125.0 / 192, -2187.0 / 6784, 11.0 / 84],
    ];

    /// <summary>Fifth order less fourth order.</summary>
    private static readonly double[] Errors =
        [71.0 / 57600, 0, -71.0 / 16695, 71.0 / 1920, -17253.0 / 339200, 22.0 / 525, -1.0 / 40];

    /// <summary>Carries <paramref name="state"/> from one time to a later one, in place.</summary>
    /// <param name="rates">The equations.</param>
    /// <param name="state">The state at <paramref name="from"/>; afterwards, at <paramref name="to"/>.</param>
    /// <param name="from">First time.</param>
    /// <param name="to">Last time, not before the first.</param>
    /// <param name="relativeTolerance">Error allowed in a step relative to each element.</param>
    /// <param name="absoluteTolerance">And beside that, in the element's own unit.</param>
    /// <returns>Steps taken.</returns>
    public static int Run(RatesOfChange rates, Span<double> state, double from, double to, double relativeTolerance = 1e-12, double absoluteTolerance = 1e-12)
    {
        ArgumentNullException.ThrowIfNull(rates);
        ArgumentOutOfRangeException.ThrowIfLessThan(to, from);
        var slopes = new double[Stages][];
        for (var i = 0; i < Stages; i++) slopes[i] = new double[state.Length];
        var next = new double[state.Length];
        var (time, step, steps) = (from, (to - from) / 100, 0);
        while (time < to)
        {
            step = Math.Min(step, to - time);
            var error = TryStep(rates, state, time, step, slopes, next, relativeTolerance, absoluteTolerance);
            if (++steps > MostSteps || double.IsNaN(error))
                throw new ArgumentException("The rates are not finite, or too abrupt to be followed.", nameof(rates));
            if (error <= 1)
            {
                next.CopyTo(state);
                time = step == to - time ? to : time + step;
            }

            // Usual controller of a fifth-order pair, with the usual caution.
            step *= error == 0 ? 5 : Math.Clamp(0.9 * Math.Pow(error, -0.2), 0.2, 5);
        }

        return steps;
    }

    private static double TryStep(RatesOfChange rates, ReadOnlySpan<double> state, double time, double step,
        double[][] slopes, double[] next, double relativeTolerance, double absoluteTolerance)
    {
        for (var stage = 0; stage < Stages; stage++)
        {
            for (var i = 0; i < next.Length; i++)
            {
                var sum = 0.0;
                for (var j = 0; j < stage; j++) sum += Weights[stage][j] * slopes[j][i];
                next[i] = state[i] + (step * sum);
            }

            rates(time + (Nodes[stage] * step), next, slopes[stage]);
        }

        // The last stage was evaluated at the fifth-order result itself, which is still in next.
        var worst = 0.0;
        for (var i = 0; i < next.Length; i++)
        {
            var error = 0.0;
            for (var j = 0; j < Stages; j++) error += Errors[j] * slopes[j][i];
            var allowed = absoluteTolerance + (relativeTolerance * Math.Max(Math.Abs(state[i]), Math.Abs(next[i])));
            var ratio = Math.Abs(step * error) / allowed;
            worst = ratio > worst || double.IsNaN(ratio) ? ratio : worst;
        }

        return worst;
    }
}
