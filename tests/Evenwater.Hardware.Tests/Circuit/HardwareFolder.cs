namespace Evenwater.HardwareTests.Circuit;

/// <summary>The folder hardware/ of the working copy that the tests were built from.</summary>
internal static class HardwareFolder
{
    private static readonly string Folder = Find();

    public static string Path(string name) => System.IO.Path.Combine(Folder, name);

    public static string Text(string name) => File.ReadAllText(Path(name));

    private static string Find()
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (folder is not null && !File.Exists(System.IO.Path.Combine(folder.FullName, "Monitor.sln")))
        {
            folder = folder.Parent;
        }

        return System.IO.Path.Combine(folder?.FullName ?? throw new InvalidOperationException("no Monitor.sln above the tests"), "hardware");
    }
}
