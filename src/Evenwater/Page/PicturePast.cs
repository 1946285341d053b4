namespace Evenwater.Page;

/// <summary>Cuts the past into stretches without gaps: a missing value or a long silence breaks the line.</summary>
internal static class PicturePast
{
    public static IEnumerable<List<T>> Stretches<T>(IReadOnlyList<HistoryPoint> history, Func<HistoryPoint, T?> take)
        where T : struct
    {
        var longest = 3.5 * TypicalStep(history);
        var stretch = new List<T>();
        for (var i = 0; i < history.Count; i++)
        {
            var value = take(history[i]);
            var silence = i > 0 && history[i].Seconds - history[i - 1].Seconds > longest;
            if ((value is null || silence) && stretch.Count > 0)
            {
                yield return stretch;
                stretch = [];
            }

            if (value is { } present) stretch.Add(present);
        }

        if (stretch.Count > 0) yield return stretch;
    }

    private static double TypicalStep(IReadOnlyList<HistoryPoint> history)
    {
        if (history.Count < 2) return double.PositiveInfinity;
        var steps = new double[history.Count - 1];
        for (var i = 0; i < steps.Length; i++) steps[i] = history[i + 1].Seconds - history[i].Seconds;
        Array.Sort(steps);
        return steps[steps.Length / 2];
    }
}
