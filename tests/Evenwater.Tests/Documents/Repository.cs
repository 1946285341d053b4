namespace Evenwater.Tests.Documents;

/// <summary>The files as they lie in the working copy that the tests were built from.</summary>
internal static class Repository
{
    public static string Root { get; } = Find();

    public static string Text(params string[] path) => File.ReadAllText(Path.Combine([Root, .. path]));

    /// <summary>Files below a folder by pattern, without what builds have left.</summary>
    public static IEnumerable<string> Files(string folder, string pattern) => Directory
        .EnumerateFiles(Path.Combine(Root, folder), pattern, SearchOption.AllDirectories)
        .Where(file => !file.Contains("/bin/", StringComparison.Ordinal) && !file.Contains("/obj/", StringComparison.Ordinal));

    /// <summary>What people read: the top level's documents and those of the folders.</summary>
    public static IEnumerable<string> Documents() =>
        Directory.EnumerateFiles(Root, "*.md").Concat(new[] { "config", "hardware", "systemd", "tests" }.SelectMany(folder => Files(folder, "*.md")));

    private static string Find()
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (folder is not null && !File.Exists(Path.Combine(folder.FullName, "Monitor.sln")))
        {
            folder = folder.Parent;
        }

        return folder?.FullName ?? throw new InvalidOperationException("no Monitor.sln above the tests");
    }
}
