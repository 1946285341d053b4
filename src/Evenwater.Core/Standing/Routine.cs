using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Standing;

/// <summary>One task of the keeper's routine, and how it stands.</summary>
/// <param name="Task">Which, and how often.</param>
/// <param name="Last">When it was last done by the book; null when it never was.</param>
/// <param name="Due">When it is due; null when it never was done: then it is due.</param>
public readonly record struct RoutineStanding(RoutineTask Task, DateTimeOffset? Last, DateTimeOffset? Due)
{
    /// <summary>How long it is overdue; negative: how long until it is due; null when it never was done.</summary>
    public TimeSpan? OverdueAt(DateTimeOffset now) => now - Due;

    /// <summary>Whether it is due.</summary>
    public bool IsDueAt(DateTimeOffset now) => Due is not { } due || now >= due;

    /// <summary>
    /// Whether it is overdue: by a tenth of its time, and by half a day at least, so that what is done each evening is not called at five. Common practice, no source.
    /// What was never done is not overdue: nobody knows since when.
    /// </summary>
    public bool IsOverdueAt(DateTimeOffset now) => OverdueAt(now) is { } by && by.TotalDays > Math.Max(0.5, Task.DueEveryDays / 10);
}

/// <summary>What the keeper does again and again, by the book.</summary>
public static class Routine
{
    /// <summary>How each task stands, in the station file's order.</summary>
    /// <param name="tasks">The routine.</param>
    /// <param name="book">The station's book.</param>
    public static IReadOnlyList<RoutineStanding> Of(IEnumerable<RoutineTask> tasks, Book book)
    {
        ArgumentNullException.ThrowIfNull(tasks);
        ArgumentNullException.ThrowIfNull(book);
        return
        [
            .. tasks.Select(task =>
            {
                var last = book.Standing.LastOrDefault(note => note.At is not null && Fits(note, task))?.At;
                return new RoutineStanding(task, last, last?.AddDays(task.DueEveryDays));
            }),
        ];
    }

    private static bool Fits(Note note, RoutineTask task) =>
        note.Kind == Enum.Parse<NoteKind>(task.Kind.ToString())
        && (task.About is not { } about || note.Text.Contains(about, StringComparison.OrdinalIgnoreCase));
}
