using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;
using Evenwater.Photographs;

namespace Evenwater.Page.Journal;

/// <summary>What the pages about the keeper's book need of the program.</summary>
/// <param name="Book">The book of a station.</param>
/// <param name="Write">Writes a note; answered when it is on the disk.</param>
/// <param name="Photographs">Where photographs are kept.</param>
/// <param name="Darkroom">Redraws them.</param>
/// <param name="Zone">This place's clock.</param>
internal sealed record JournalDesk(Func<string, Book> Book, Func<string, Note, Task<Written>> Write, PhotographFolder Photographs, Darkroom Darkroom, TimeZoneInfo Zone);

/// <summary>What became of a note.</summary>
/// <param name="Ok">Whether it stands in the book.</param>
/// <param name="Text">The answer in a sentence.</param>
/// <param name="Id">Its name; null when it stood there before, or was refused.</param>
/// <param name="Problems">Why it is refused.</param>
internal sealed record Written(bool Ok, string Text, string? Id, IReadOnlyList<Problem> Problems);
