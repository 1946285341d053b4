namespace Evenwater.Page;

/// <summary>The numbers above a picture of what is listed below it: where several lie too close to be read, they share one, "3–5".</summary>
internal static class SharedMarks
{
    /// <summary>A digit of the marks is about so wide, pixels (11 px type, seen in Chromium).</summary>
    private const double Digit = 6.8;

    /// <summary>What is nearer to the first of a mark than this shares it, pixels.</summary>
    private const double Room = 26;

    /// <summary>Where the words of a mark have their middle, so that they are not cut off at the drawing's ends.</summary>
    /// <param name="x">Where the mark stands, pixels.</param>
    /// <param name="words">What is written.</param>
    /// <param name="left">From here, pixels.</param>
    /// <param name="right">To here.</param>
    public static double Middle(double x, string words, double left, double right) => Math.Max(left + (Digit * words.Length / 2), Math.Min(x, right - (Digit * words.Length / 2)));

    /// <summary>Which stand together, and what is written there: what is too near to the first of a mark shares it, and marks whose words would touch are one.</summary>
    /// <param name="places">Where each stands, pixels, in order; they are numbered one after the other.</param>
    /// <param name="left">The drawing goes from here, pixels.</param>
    /// <param name="right">To here.</param>
    /// <param name="first">The first one's number.</param>
    public static IEnumerable<(double X, string Words)> Of(IReadOnlyList<double> places, double left, double right, int first = 1)
    {
        var marks = new List<(int From, int To)>();
        for (var i = 0; i < places.Count; i++)
        {
            if (marks is [.., var near] && places[i] - places[near.From] < Room) marks[^1] = (near.From, i);
            else marks.Add((i, i));
            while (marks is [.., var former, var last] && Touch(former, last))
            {
                marks.RemoveAt(marks.Count - 1);
                marks[^1] = (former.From, last.To);
            }
        }

        return marks.Select(mark => (places[mark.From], Words(mark)));

        string Words((int From, int To) mark) => mark.From == mark.To ? $"{mark.From + first}" : $"{mark.From + first}–{mark.To + first}";

        bool Touch((int From, int To) former, (int From, int To) last)
        {
            var (one, other) = (Words(former), Words(last));
            return Middle(places[last.From], other, left, right) - Middle(places[former.From], one, left, right) < Digit * (one.Length + other.Length + 1) / 2;
        }
    }
}
