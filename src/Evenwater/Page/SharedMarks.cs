namespace Evenwater.Page;

/// <summary>The numbers above a picture of what is listed below it: where several lie too close to be read, they share one, "3–5".</summary>
internal static class SharedMarks
{
    /// <summary>Which stand together, and what is written there.</summary>
    /// <param name="places">Where each stands, pixels, in order; they are numbered from 1 on.</param>
    /// <param name="room">What is nearer to the first of a mark than this shares it, pixels.</param>
    public static IEnumerable<(double X, string Words)> Of(IReadOnlyList<double> places, double room)
    {
        for (int from = 0, to; from < places.Count; from = to + 1)
        {
            to = from;
            while (to + 1 < places.Count && places[to + 1] - places[from] < room) to++;
            yield return (places[from], from == to ? $"{from + 1}" : $"{from + 1}–{to + 1}");
        }
    }
}
