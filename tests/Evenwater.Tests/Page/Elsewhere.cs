using System.Text.RegularExpressions;

namespace Evenwater.Tests.Page;

/// <summary>Addresses of other sites in what is served. A name of a namespace is none, and nothing is fetched for a remark in which a library says whose it is.</summary>
internal static partial class Elsewhere
{
    public static bool IsIn(string text) => Address().IsMatch(Remark().Replace(text.Replace("http://www.w3.org/2000/svg", "", StringComparison.Ordinal), ""));

    public static void NotIn(string text) => Assert.False(IsIn(text), text);

    [GeneratedRegex(@"/\*.*?\*/", RegexOptions.Singleline)]
    private static partial Regex Remark();

    [GeneratedRegex("""https?://|(src|href|action|url)\s*[=(]\s*["']?//""", RegexOptions.IgnoreCase)]
    private static partial Regex Address();
}
