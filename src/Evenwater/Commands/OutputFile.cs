using Evenwater.Log;

namespace Evenwater.Commands;

/// <summary>A file that a command is to write.</summary>
internal static class OutputFile
{
    /// <summary>Why nothing can be written there; null when it can, or no file is named. Asked before the work that would be lost.</summary>
    /// <param name="option">The option that names it.</param>
    /// <param name="file">The file; null for none.</param>
    /// <param name="read">What the command reads, and must not write over.</param>
    public static string? Problem(string option, string? file, params ReadOnlySpan<string> read)
    {
        if (file is null) return null;
        if (Directory.Exists(file)) return $"{option} {file}: is a folder; give a file in it.";
        if (!Directory.Exists(Path.GetDirectoryName(Path.GetFullPath(file)))) return $"{option} {file}: the folder it would be in is not there; make it first.";
        foreach (var source in read)
        {
            if (File.Exists(file) && SameFile.Are(source, file)) return $"{option} {file}: is what this command reads from, and would be lost; name another file.";
        }

        return null;
    }

    /// <summary>The same for what reads a log: its file, and what SQLite keeps beside it.</summary>
    public static string? ProblemBesideLog(string option, string file, string folder)
    {
        var log = Path.Combine(folder, LogFile.Name);
        return Problem(option, file, log, $"{log}-wal", $"{log}-shm");
    }
}
