using Evenwater.Core.Keeping;

namespace Evenwater.Core.Review.Comparing;

/// <summary>What a change did, as far as that can be told.</summary>
/// <param name="What">The note that tells of the change; null when only a time was given.</param>
/// <param name="Spans">What was compared.</param>
/// <param name="Channels">Before and after, channel by channel.</param>
/// <param name="Hands">Tests and observations.</param>
/// <param name="Else">What else happened.</param>
public sealed record DidAnswer(Note? What, CompareSpans Spans, IReadOnlyList<ChannelCompared> Channels, IReadOnlyList<ByHand> Hands, WhatElse Else)
{
    /// <summary>Every figure that stands out.</summary>
    public IEnumerable<Compared> Changes => Channels.SelectMany(channel => channel.Figures).Where(figure => figure.Changed);

    /// <summary>Whether anything differs at all.</summary>
    public bool AnyChange => Changes.Any() || Hands.Any(hand => hand.Changed);

    /// <summary>The answer to a change.</summary>
    /// <param name="what">The note that tells of it; null when only a time was given.</param>
    /// <param name="spans">What is compared.</param>
    /// <param name="courses">The tank's channels.</param>
    /// <param name="notes">What stands in the book.</param>
    /// <param name="known">Everything known to have happened; the change itself is left out of it here.</param>
    /// <param name="zone">The keeper's time zone.</param>
    public static DidAnswer Of(Note? what, CompareSpans spans, IEnumerable<Quarters> courses, IEnumerable<Note> notes, IReadOnlyList<Else> known, TimeZoneInfo zone)
    {
        // Days of the daily round alone are days on which nothing was done.
        Else[] others = [.. known.Where(one => what is null || one.Note?.Id != what.Id)];
        return new(
            what, spans, Comparison.Of(courses, spans, [.. others.Where(one => one.Acts && one.Note?.Kind is not (NoteKind.Feed or NoteKind.TopOff)).Select(one => one.At)], zone),
            ByHand.Of(spans, notes), WhatElse.Of(spans, others));
    }
}
