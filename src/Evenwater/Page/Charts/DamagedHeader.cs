using System.Globalization;

namespace Evenwater.Page.Charts;

/// <summary>Rows of the log that are left out of a table, which has no place to say so.</summary>
internal static class DamagedHeader
{
    /// <summary>The answer's header; it is there when rows are left out.</summary>
    public const string Name = "Evenwater-Damaged-Rows";

    /// <summary>Says how many; nothing where all could be read.</summary>
    public static void Set(HttpContext http, int rows)
    {
        if (rows > 0) http.Response.Headers[Name] = rows.ToString(CultureInfo.InvariantCulture);
    }
}
