using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;
using Evenwater.Photographs;
using Microsoft.AspNetCore.Http.Metadata;

namespace Evenwater.Page.Journal;

/// <summary>Photographs that come with a form. Only addresses marked with <see cref="Limit"/> take bodies of that size.</summary>
internal static class PhotographUpload
{
    /// <summary>The field's name.</summary>
    public const string Field = "photograph";

    /// <summary>What a form around a photograph may take, bytes: as much as any other form here.</summary>
    public const long FormBytes = 16 * 1024;

    /// <summary>Marks an address that takes photographs.</summary>
    public static IRequestSizeLimitMetadata Limit { get; } = new SizeLimit();

    /// <summary>The file that came, or null for none: browsers send an empty one where nothing was chosen.</summary>
    public static async Task<IFormFile?> File(HttpContext http) => http.Request.HasFormContentType
        && (await http.Request.ReadFormAsync(http.RequestAborted)).Files.GetFile(Field) is { Length: > 0 } file ? file : null;

    /// <summary>The note with the photograph that came, once all else about it is in order: nothing is decoded for a note that would be refused.</summary>
    /// <returns>The note; and the name of a photograph that was kept for it, or why none was.</returns>
    public static async Task<(Note Note, string? Kept, IReadOnlyList<Problem> Refused)> Attach(JournalDesk desk, IFormFile file, Note note, Book book, DateTimeOffset now, CancellationToken stop)
    {
        IReadOnlyList<string> before = note.Photographs ?? [];
        if (NoteRules.Problems(note with { Photographs = [.. before, Placeholder] }, book, now) is { Count: > 0 } problems) return (note, null, problems);
        await using var stream = file.OpenReadStream();
        var (name, refusal) = await desk.Darkroom.KeepAsync(stream, desk.Photographs, stop);
        return name is null ? (note, null, refusal is { } why ? [why] : [])
            : before.Contains(name) ? (note, null, [new Problem(Field, "the same photograph again", "one that is not there yet", "Choose another.")])
            : (note with { Photographs = [.. before, name] }, name, []);
    }

    /// <summary>Stands for the photograph while the rest is looked at.</summary>
    private static string Placeholder { get; } = new('0', 64);

    private sealed class SizeLimit : IRequestSizeLimitMetadata
    {
        public long? MaxRequestBodySize => Darkroom.MostBytes + FormBytes;
    }
}
