namespace Evenwater.Tests.Options;

/// <summary>The shipped station file, as the tests' starting point.</summary>
internal static class GoodFile
{
    public static string Root { get; } = FindRoot();

    public static string Path { get; } = System.IO.Path.Combine(Root, "config", "stations", "sim-river.json");

    public static string Text { get; } = File.ReadAllText(Path);

    private static string FindRoot()
    {
        for (var folder = new DirectoryInfo(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
        {
            if (File.Exists(System.IO.Path.Combine(folder.FullName, "Monitor.sln"))) return folder.FullName;
        }

        throw new InvalidOperationException("The tests must run inside the repository.");
    }
}
