using Evenwater.Core;
using Evenwater.Core.Charting;

namespace Evenwater.Page.Charts;

/// <summary>A channel's line in the answer.</summary>
/// <param name="Of">Which.</param>
/// <param name="IsCompared">Whether it is of the span that is laid over.</param>
/// <param name="Line">Its bins and gaps.</param>
public sealed record HistoryLine(ChannelAt Of, bool IsCompared, ChartLine Line)
{
    /// <summary>As people read it.</summary>
    public string Label(string? here) => IsCompared ? $"{Of.Label(here)}, compared" : Of.Label(here);
}

/// <summary>Dates of a station that are not to be relied on.</summary>
/// <param name="Station">Whose.</param>
/// <param name="From">From this date on.</param>
/// <param name="To">To this one.</param>
/// <param name="Restored">Whether the dates were carried over from before a start; else the clock was never set.</param>
public sealed record ClockDoubt(string Station, DateTimeOffset From, DateTimeOffset To, bool Restored)
{
    /// <summary>In words, with times of the place.</summary>
    public string Text(Func<DateTimeOffset, string> time) =>
        $"{Station}: the dates from {time(From)} to {time(To)} {(Restored ? "were carried over from before a restart" : "come of a clock that was never set")}, and may be off.";
}

/// <summary>Something that happened, marked on the axis by its number.</summary>
/// <param name="Number">From 1, in order of time.</param>
/// <param name="At">When.</param>
/// <param name="Kind">note, alarm, trip, run or swing.</param>
/// <param name="Station">Where.</param>
/// <param name="Text">What, in a line.</param>
public sealed record HistoryMark(int Number, DateTimeOffset At, string Kind, string Station, string Text);

/// <summary>What was read of the past.</summary>
/// <param name="Ask">What was asked for.</param>
/// <param name="Axis">The axis of all lines; of the compared span as long, and its own beginning.</param>
/// <param name="Source">What it was made of: raw readings, or the coarsest of minutes, quarter-hours and days that is fine enough.</param>
/// <param name="Lines">In the order asked for, those that are compared after the others.</param>
/// <param name="Doubts">Which dates are not to be relied on; told of spans up to 62 days.</param>
/// <param name="Marks">What happened meanwhile.</param>
/// <param name="MarksLeftOut">How many more things happened.</param>
/// <param name="DamagedRows">How many rows of the log could not be read any more, and are left out.</param>
public sealed record HistoryData(
    HistoryAsk Ask, TimeAxis Axis, string Source, IReadOnlyList<HistoryLine> Lines, IReadOnlyList<ClockDoubt> Doubts, IReadOnlyList<HistoryMark> Marks, int MarksLeftOut, int DamagedRows = 0);
