using System.Security.Cryptography;
using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;

namespace Evenwater.Photographs;

/// <summary>The redrawn photographs of a state folder, each a file named by its content. Notes name them; a file goes only when somebody asks for that.</summary>
/// <param name="state">The state folder.</param>
internal sealed class PhotographFolder(string state)
{
    /// <summary>The folder's name within the state folder.</summary>
    public const string Name = "photographs";

    /// <summary>What all of them may take, bytes. Our own choice: a thousand or more, beside a log of 1000 MB.</summary>
    public const long BudgetBytes = 500_000_000;

    /// <summary>What must stay free on the disk, bytes: the log needs room more than a photograph does. Our own choice.</summary>
    private const long LeastFreeBytes = 100_000_000;

    private const UnixFileMode OwnerFile = UnixFileMode.UserRead | UnixFileMode.UserWrite;
    private const UnixFileMode OwnerFolder = OwnerFile | UnixFileMode.UserExecute;

    private readonly string _folder = Path.Combine(state, Name);

    /// <summary>So much may be kept, bytes; smaller in tests.</summary>
    internal long Budget { get; init; } = BudgetBytes;

    /// <summary>What is free on the disk, bytes; told in tests.</summary>
    internal Func<string, long> Free { get; init; } = folder => new DriveInfo(folder).AvailableFreeSpace;

    /// <summary>Whether it is there.</summary>
    public bool Has(string name) => PhotographNames.Is(name) && File.Exists(Of(name));

    /// <summary>The names of all that are kept, in order.</summary>
    public IEnumerable<string> Names() => Directory.Exists(_folder)
        ? Directory.EnumerateFiles(_folder, "*.jpg").Select(file => Path.GetFileNameWithoutExtension(file)).Where(PhotographNames.Is).Order(StringComparer.Ordinal).ToList()
        : [];

    /// <summary>The photograph; null when there is none of that name.</summary>
    public Stream? Open(string name) => Has(name) ? new FileStream(Of(name), FileMode.Open, FileAccess.Read, FileShare.Read | FileShare.Delete) : null;

    /// <summary>Keeps a redrawn photograph: on the disk when this returns.</summary>
    /// <returns>Its name; or why it is not kept.</returns>
    /// <exception cref="IOException">The folder can not be written.</exception>
    public (string? Name, Problem? Refusal) Keep(byte[] jpeg)
    {
        var name = Convert.ToHexStringLower(SHA256.HashData(jpeg));
        if (Has(name)) return (name, null);
        Directory.CreateDirectory(_folder, OwnerFolder);
        var kept = new DirectoryInfo(_folder).EnumerateFiles("*.jpg").Sum(file => file.Length);
        if (kept + jpeg.Length > Budget)
        {
            return (null, new Problem(Developed.Key, $"{kept / 1e6:0} MB of photographs are kept already", $"{Budget / 1e6:0} MB in all", "Delete some that are no longer needed: 'evenwater journal --delete-photo NAME', or on the journal page."));
        }

        if (Free(_folder) < LeastFreeBytes + jpeg.Length)
        {
            return (null, new Problem(Developed.Key, "the disk is nearly full", $"{LeastFreeBytes / 1e6:0} MB free for the log", "Make room on the disk, or write the note without it."));
        }

        var passing = Path.Combine(_folder, $"{name}.new");
        using (var file = new FileStream(passing, new FileStreamOptions { Mode = FileMode.Create, Access = FileAccess.Write, UnixCreateMode = OwnerFile }))
        {
            file.Write(jpeg);
            file.Flush(flushToDisk: true);
        }

        File.Move(passing, Of(name), overwrite: true);
        return (name, null);
    }

    /// <summary>Deletes it for good.</summary>
    /// <returns>Whether it was there.</returns>
    public bool Delete(string name)
    {
        if (!Has(name)) return false;
        File.Delete(Of(name));
        return true;
    }

    private string Of(string name) => Path.Combine(_folder, $"{name}.jpg");
}
