namespace Evenwater.Page;

/// <summary>The numbers above a picture of what is listed below it: where several lie too close to be read, they share one, "3–5".</summary>
internal static class SharedMarks
{
    /// <summary>A digit of the marks is about so wide, pixels (11 px type, seen in Chromium).</summary>
    private const double Digit = 6.8;

    /// <summary>So far from one another words never touch, even where the drawing's end moves the last ones in: half of "10–13", the whole of the next, and a little; pixels.</summary>
    /// <param name="last">The last one's number.</param>
    public static double Room(int last) => (1.5 * Digit * (last < 10 ? "1–9" : "10–13").Length) + 4;

    /// <summary>Where the words of a mark have their middle, so that they are not cut off at the drawing's ends.</summary>
    /// <param name="x">Where the mark stands, pixels.</param>
    /// <param name="words">What is written.</param>
    /// <param name="left">From here, pixels.</param>
    /// <param name="right">To here.</param>
    public static double Middle(double x, string words, double left, double right) => Math.Max(left + (Digit * words.Length / 2), Math.Min(x, right - (Digit * words.Length / 2)));

    /// <summary>Which stand together, and what is written there.</summary>
    /// <param name="places">Where each stands, pixels, in order; they are numbered one after the other.</param>
    /// <param name="room">What is nearer to the first of a mark than this shares it, pixels.</param>
    /// <param name="first">The first one's number.</param>
    public static IEnumerable<(double X, string Words)> Of(IReadOnlyList<double> places, double room, int first = 1)
    {
        for (int from = 0, to; from < places.Count; from = to + 1)
        {
            to = from;
            while (to + 1 < places.Count && places[to + 1] - places[from] < room) to++;
            yield return (places[from], from == to ? $"{from + first}" : $"{from + first}–{to + first}");
        }
    }
}
