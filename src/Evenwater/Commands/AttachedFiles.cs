using Evenwater.Core.Keeping;
using Evenwater.Keeping;
using Evenwater.Options;
using Evenwater.Photographs;

namespace Evenwater.Commands;

/// <summary>Photographs from files, for notes written on a terminal.</summary>
internal static class AttachedFiles
{
    /// <summary>Writes the note with the files redrawn and kept; with one that can not be, nothing is written.</summary>
    /// <param name="station">Whose book it is; null for the only one.</param>
    /// <param name="note">The note.</param>
    /// <param name="former">The note that it corrects, whose photographs stay.</param>
    /// <param name="files">Paths.</param>
    public static async Task<int> WriteAsync(string? station, Note note, Note? former, IReadOnlyList<string> files)
    {
        var folder = Folder();
        using var darkroom = new Darkroom(Darkroom.OwnProgram);
        List<string> names = [.. note.Photographs ?? former?.Photographs ?? []];
        var before = folder.Names().ToHashSet();
        foreach (var path in files)
        {
            using var picture = Opened(path);
            if (picture is null)
            {
                Forget();
                return Exit.Wrong($"--photo = {path}: there is no such file, or {Environment.UserName}, as whom this runs, may not read it. Allowed: {PictureKinds.Allowed}. Copy it to where it may be read, such as /tmp.");
            }

            var (name, refusal) = await darkroom.KeepAsync(picture, folder, CancellationToken.None);
            if (name is null)
            {
                Forget();
                return Exit.Wrong($"--photo = {path}: {refusal}");
            }

            if (!names.Contains(name)) names.Add(name);
        }

        var exit = await PenAndPaper.WriteAsync(station, note with { Photographs = names });
        if (exit == Exit.WrongUse) Forget(); // refused; one that only waits for the disk names them yet
        return exit;

        // What was kept for a note that is none: no list would name it, so nobody could delete it.
        void Forget() => names.Where(name => !before.Contains(name)).ToList().ForEach(name => folder.Delete(name));
    }

    /// <summary>Deletes a photograph's file.</summary>
    public static int Delete(string name) => Folder().Delete(name)
        ? Exit.Tell(true, $"The photograph {name} is deleted. The notes that name it stay as they are.")
        : Exit.Wrong($"--delete-photo = {name}: no such photograph is kept here. 'evenwater journal --all' lists the names.");

    /// <summary>The file, or null where there is none or it may not be read: in a folder that is closed to who asks there is nothing, as far as he can see.</summary>
    private static FileStream? Opened(string path)
    {
        try
        {
            return File.OpenRead(path);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ArgumentException)
        {
            return null;
        }
    }

    private static PhotographFolder Folder() => new(KeptLog.Find(null)?.Folder ?? Places.MakeState(demo: false));
}
