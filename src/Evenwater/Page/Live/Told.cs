using Evenwater.Core.Telling;

namespace Evenwater.Page.Live;

/// <summary>What a person is told of a station: its last view, and how long ago that was. The page and the stream of live values tell the same by it.</summary>
public sealed class Told(Posted posted)
{
    /// <summary>A station says a word each second; the script of the page waits as long.</summary>
    private const double DueSeconds = 2;

    /// <summary>The last view.</summary>
    public StationView View => posted.View;

    /// <summary>Whether it is too old to be believed.</summary>
    public bool IsSilent => posted.IsSilent;

    /// <summary>The state that is believed.</summary>
    public StateWord Word { get; } = WordLabel.Believed(posted);

    /// <summary>The same as it is read.</summary>
    public string WordText => WordLabel.Of(Word);

    /// <summary>What is happening.</summary>
    public string Sentence => IsSilent ? $"The station has not reported for {TimeWords.Age(posted.SilentSeconds)}: everything below is old." : View.Sentence;

    /// <summary>Where the valve stands.</summary>
    public string Valve => IsSilent ? $"{View.ValveWord} when last heard of" : View.ValveWord;

    /// <summary>What the program did about it; null when there is nothing to be said of it.</summary>
    public string? Did => IsSilent ? "Not known. If its cycle stands still, its valve closes by itself within 5 s." : View.Did;

    /// <summary>What the keeper is to do; null when there is nothing to be said of it.</summary>
    public string? Do => IsSilent ? "Go and look at the vessel. See whether the program and its computer still run." : View.Do;

    /// <summary>By when; null when there is no such time, or nobody can tell.</summary>
    public DateTimeOffset? ByWhen => IsSilent ? null : View.ByWhen;

    /// <summary>The same in words, where there is no clock to tell it by.</summary>
    public string? HowSoon => IsSilent ? null : View.HowSoon;

    /// <summary>Where the run stands, and for how long it has been going.</summary>
    public string Standing => View.ElapsedSeconds is { } s ? $"{View.Phase}, {(int)(s / 3600)} h {(int)(s / 60) % 60:00} min" : View.Phase;

    /// <summary>The values, as old as they are by now. Until the next word of the station is overdue a simulated one's clock does not run ahead of it: at 60 times life a value would be stale between two of them.</summary>
    public IReadOnlyList<ValueLine> Values => [.. View.Values.Select(v => v.Older(posted.SilentSeconds * (posted.SilentSeconds > DueSeconds ? View.Speed : Math.Min(View.Speed, 1))))];

    /// <summary>
    /// Changes whenever the page has to be drawn anew, because something else than a figure, a sentence or a time has changed. Good as long as the program runs, and to be
    /// compared with itself alone.
    /// </summary>
    public string Shape
    {
        get
        {
            var hash = new HashCode();
            hash.Add(Word);
            hash.Add(IsSilent);
            hash.Add(View.Phase);
            hash.Add(View.ValveWord);
            hash.Add(Did);
            hash.Add(View.Do);
            hash.Add(Minute(View.ByWhen));
            hash.Add(View.Proof);
            hash.Add(View.CautionsShown);
            hash.Add(View.ClockKnown);
            hash.Add(View.Opens);
            hash.Add(View.Events.Count);
            foreach (var alarm in View.Alarms) hash.Add(alarm with { ByWhen = Minute(alarm.ByWhen), Since = Minute(alarm.Since), ShelvedUntil = Minute(alarm.ShelvedUntil) });
            foreach (var value in View.Values)
            {
                hash.Add(value.Label);
                hash.Add(value.Unit);
                hash.Add(value.Reason);
                hash.Add(value.Number is null);
                hash.Add(value.Range is null);
            }

            return hash.ToHashCode().ToString("x8");
        }
    }

    /// <summary>As it is shown. A real clock tells the same instant otherwise by parts of a millisecond each time, and the page would be drawn anew every second.</summary>
    private static DateTimeOffset? Minute(DateTimeOffset? at) => at is { } known ? known.AddTicks(-(known.Ticks % TimeSpan.TicksPerMinute)) : null;

    /// <summary>The same of all stations and of their order.</summary>
    internal static string ShapeOf(IReadOnlyList<Posted> all)
    {
        var hash = new HashCode();
        foreach (var posted in all)
        {
            hash.Add(posted.View.Name);
            hash.Add(new Told(posted).Shape);
        }

        return hash.ToHashCode().ToString("x8");
    }
}
