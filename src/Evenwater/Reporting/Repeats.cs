namespace Evenwater.Reporting;

/// <summary>What says the same as the one before it, such as the call of an alarm that nobody sees: one every ten minutes fills pages.</summary>
internal static class Repeats
{
    /// <summary>Each first of a kind with the last of it, and how often it came again in between.</summary>
    /// <param name="all">In order.</param>
    /// <param name="words">What one says.</param>
    public static IEnumerable<(T First, T Last, int Again)> Of<T>(IReadOnlyList<T> all, Func<T, string> words)
    {
        for (int first = 0, last; first < all.Count; first = last + 1)
        {
            last = first;
            while (last + 1 < all.Count && words(all[last + 1]) == words(all[first])) last++;
            yield return (all[first], all[last], last - first);
        }
    }
}
