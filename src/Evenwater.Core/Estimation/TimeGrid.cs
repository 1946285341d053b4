namespace Evenwater.Core.Estimation;

/// <summary>One step of a forecast.</summary>
/// <param name="Start">Seconds from now to its start.</param>
/// <param name="Seconds">Its length, s.</param>
/// <param name="OpenSeconds">How long of it the valve is planned open, s.</param>
/// <param name="EndHours">Hours from now to its end.</param>
/// <param name="RootHours">Square root of that.</param>
/// <param name="Faded">Hours over which a deviation of the drift has acted by then.</param>
/// <param name="FadedClog">The same for a drip that clogs.</param>
/// <param name="Node">Node of the flow's walk before its end.</param>
/// <param name="Part">How far its end lies from that node to the next, 0 to 1.</param>
internal readonly record struct GridStep(float Start, float Seconds, float OpenSeconds, float EndHours, float RootHours, float Faded, float FadedClog, int Node, float Part);

/// <summary>The steps of a forecast: fine at first, longer each time, broken where the plan moves the valve.</summary>
internal sealed class TimeGrid
{
    private const int Capacity = 96;
    private const double Growth = 0.3;
    private readonly GridStep[] _steps = new GridStep[Capacity];

    public int Count { get; private set; }

    public ref readonly GridStep this[int step] => ref _steps[step];

    public void Lay(ValvePlan plan, double now)
    {
        Count = 0;
        var last = now + Quantiles.HorizonSeconds;
        for (var from = now; from < last;)
        {
            var change = plan.NextChangeAfter(from);
            var end = Math.Min(from + Process.BlockSeconds + (Growth * (from - now)), last);

            // With very many commands the last steps are not broken: the open share of a long step is then exact, its order is not.
            end = Count < Capacity - 36 ? Math.Min(end, change) : end;
            var seconds = end - from;
            var open = change < end ? plan.OpenSeconds(from, seconds) : plan.IsOpenAt(from) ? seconds : 0;
            var (node, part) = DrawTable.Place(end - now);
            var hours = (end - now) / 3600;
            _steps[Count++] = new GridStep(
                (float)(from - now), (float)seconds, (float)open, (float)hours, (float)Math.Sqrt(hours), Faded(hours, Process.DriftHours), Faded(hours, Process.ClogHours),
                node, (float)part);
            from = end;
        }
    }

    private static float Faded(double hours, double fades) => (float)(fades * (1 - Math.Exp(-hours / fades)));
}
