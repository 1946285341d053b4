using Evenwater.Core.Stations;
using Evenwater.Log;

namespace Evenwater.Exporting;

/// <summary>One way to write a part of the log down.</summary>
internal interface IExport
{
    /// <summary>Whether it tells cycles alone; else it is given every entry.</summary>
    bool CyclesAlone { get; }

    /// <summary>Whether it can tell an entry that was never dated.</summary>
    bool TellsUndated { get; }

    /// <summary>Whether it can tell this entry in a way that can be read back.</summary>
    bool CanTell(Entry entry) => true;

    /// <summary>What it has left out beside entries, because it is no longer what was written.</summary>
    IReadOnlyList<string> LeftOut => [];

    /// <summary>What comes before the entries.</summary>
    void Begin();

    /// <summary>One entry, in the order of the log.</summary>
    /// <param name="entry">The entry.</param>
    /// <param name="station">The station as it was configured then.</param>
    void Write(Entry entry, Station station);

    /// <summary>What comes after them.</summary>
    void End();
}
