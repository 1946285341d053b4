using Evenwater.Core;
using Evenwater.Core.Keeping;
using Evenwater.Core.Standing;
using Evenwater.Core.Stations;

namespace Evenwater.Running;

/// <summary>Whether something of the keeper's routine is overdue by the book. The book is read when it changes, never by the cycle.</summary>
internal sealed class RoutineWatch(Station station, StationClock clock)
{
    private IReadOnlyList<RoutineStanding> _standing = [];
    private bool _overdue;

    /// <summary>Takes over the book as it stands now. From any thread.</summary>
    public void Take(Book book) => Volatile.Write(ref _standing, Routine.Of(station.Routine, book));

    /// <summary>Whether a task is overdue; while the clock can not tell, what it told last. For the station's own thread.</summary>
    public bool IsOverdue(MonotonicTime now)
    {
        var standing = Volatile.Read(ref _standing);
        return _overdue = standing.Count > 0 && (clock.WallAt(now) is { } wall ? standing.Any(task => task.IsOverdueAt(wall)) : _overdue);
    }
}
