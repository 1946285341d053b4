using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Page;

namespace Evenwater.Running;

/// <summary>What is shown of a station's alarms, never changed afterwards.</summary>
/// <param name="Lines">Those that are not normal, what calls first.</param>
/// <param name="Standing">Where every alarm stands, in the table's order.</param>
/// <param name="Measures">How much they ask of their person.</param>
internal sealed record AlarmsShown(IReadOnlyList<AlarmLine> Lines, IReadOnlyList<AlarmStanding> Standing, AlarmMeasures Measures)
{
    public static AlarmsShown Of(StationState state, AlarmTally tally, StationClock clock, MonotonicTime now) => new(
        [
            .. AlarmTable.All
                .Where(row => state.AlarmOf(row.Id).Standing != AlarmStanding.Normal)
                .OrderByDescending(row => state.AlarmOf(row.Id).Stands).ThenByDescending(row => row.Priority)
                .Select(row => Line(row, state, clock, now)),
        ],
        [.. AlarmTable.All.Select(row => state.AlarmOf(row.Id).Standing)],
        tally.Measure(state, now));

    private static AlarmLine Line(Alarm row, StationState state, StationClock clock, MonotonicTime now)
    {
        var alarm = state.AlarmOf(row.Id);
        var body = AlarmMemory.Body(row.Id, state, calls: false, clock);
        return new AlarmLine(row.Title, body.Did, body.Do, body.ByWhen)
        {
            HowSoon = alarm.Stands && body.ByWhen is null ? ActBy.Words(row.Priority, alarm.Standing) : null,
            Name = row.Name,
            Standing = AlarmSentence.Word(alarm.Standing),
            Stands = alarm.Stands,
            MayBeAcknowledged = alarm.IsUnseen,
            MayBeShelved = row.MayBeSilenced && alarm.Standing <= AlarmStanding.LatchedAcknowledged,
            Priority = Words.Of(row.Priority),
            Consequence = alarm.Stands ? row.Consequence : null,
            Since = body.Since,
            ShelvedUntil = body.ShelvedUntil,
        };
    }
}
