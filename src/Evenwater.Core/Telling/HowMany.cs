using System.Globalization;

namespace Evenwater.Core.Telling;

/// <summary>How many of a thing, in words: "1 hour", "2 hours".</summary>
public static class HowMany
{
    /// <summary>The number with its thing.</summary>
    /// <param name="count">0 or more.</param>
    /// <param name="one">The thing, when it is one.</param>
    /// <param name="many">When it is none or several; with an s behind it when left out.</param>
    public static string Of(long count, string one, string? many = null) => $"{count.ToString(CultureInfo.InvariantCulture)} {(count == 1 ? one : many ?? $"{one}s")}";

    /// <summary>How often: "once", "2 times".</summary>
    /// <param name="count">0 or more.</param>
    public static string Times(long count) => count == 1 ? "once" : Of(count, "time");
}
