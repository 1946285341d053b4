
namespace Evenwater.Log;

/// <summary>
/// Starts that were refused because the log could not be used: kept beside it in a small file of text, and told in the log as events by the first start
/// that has one again.
/// </summary>
internal static class RefusedStarts
{
    public const string Name = "refused-starts.txt";

    /// <summary>A service manager starts again and again; so many lines tell the story.</summary>
    private const int MostLines = 20;

    /// <summary>Keeps one, and leaves word where the file is damaged. What can not be kept is lost: it was told on standard error as well.</summary>
    public static void Keep(string folder, LogUnusableException refused, DateTimeOffset at)
    {
        DamagedLog.Remember(folder, refused);
        try
        {
            var (file, why) = (Path.Combine(folder, Name), refused.Message);
            if (!File.Exists(file) || File.ReadLines(file).Count() < MostLines)
            {
                File.AppendAllText(file, $"{at.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'")} {string.Concat(why.Where(c => !char.IsControl(c)))}\n");
            }
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // The disk that spoilt the log may refuse this as well.
        }
    }

    /// <summary>What was kept, oldest first.</summary>
    public static IReadOnlyList<string> Kept(string folder)
    {
        try
        {
            return File.Exists(Path.Combine(folder, Name)) ? [.. File.ReadLines(Path.Combine(folder, Name)).Take(MostLines)] : [];
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return [];
        }
    }

    /// <summary>Forgets them, once they are in the log.</summary>
    public static void Forget(string folder)
    {
        try
        {
            File.Delete(Path.Combine(folder, Name));
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // Then they are told once more.
        }
    }
}
