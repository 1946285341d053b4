using System.Globalization;
using System.Text.Json;
using Evenwater.Core;
using Evenwater.Core.Review;
using Evenwater.Core.Review.Comparing;
using Evenwater.Keeping;

namespace Evenwater.Page.Looking;

/// <summary>Swings as they are shown and told: what began when, how it went, whether it is the probe, what may have made it.</summary>
internal static class SwingsMade
{
    private static readonly Cause[] s_probe = [Cause.ProbeOutOfWater, Cause.ProbeFouling, Cause.CalibrationStep, Cause.PowerCut];

    /// <summary>All of them.</summary>
    public static SwingsJson Of(LookBack back, (DateTimeOffset From, DateTimeOffset To) span, Channel? alone, TimeZoneInfo zone) => new(
        back.Station, span.From, span.To, [.. back.Courses.Values.Select(course => ReadChannel.Of(course, span))],
        [.. LookBackText.Wanted(back, alone).Select(episode => Of(back, episode, zone))], back.DamagedRows, back.FormerConfiguration);

    private static EpisodeJson Of(LookBack back, Episode episode, TimeZoneInfo zone)
    {
        var strongest = episode.Strongest;
        var course = back.Courses[strongest.Channel];
        var first = episode.Of(strongest.Channel).MinBy(swing => swing.At);
        var began = SwingBegin.Of(course, first);
        var at = course.At(episode.At); // as at a terminal and in the history; another channel, or restlessness, may have been first
        var causes = Causes.Of(episode, back.Courses, back.Happened);
        var channels = LookBackText.Strongest(episode).OrderByDescending(swing => (swing.Shape != SwingShape.Unrest, Math.Abs(swing.Sigmas))).Select(swing => Of(back, episode, swing)).ToList();
        return new(
            TimeZoneInfo.ConvertTime(at, zone), TimeZoneInfo.ConvertTime(course.At(Math.Min(began.From, episode.At)), zone), TimeZoneInfo.ConvertTime(course.At(began.To), zone), Sentence(channels, causes[0].Cause), strongest.Slow,
            channels, Probe(causes),
            [.. causes.Select(one => new CauseJson(LookBackText.Name(one.Cause), LookBackText.Words(one.Cause), one.Score, [.. one.Evidence.Select(number => new EvidenceJson(number.Text, number.Weight))]))],
            [.. LookBackText.Near(back, episode).Select(note => BookText.Line(note, zone))]);
    }

    private static SwungJson Of(LookBack back, Episode episode, Swing swing)
    {
        var (known, unrest) = (BeforeAfter.Of(back.Courses[swing.Channel], episode.Of(swing.Channel)), swing.Shape == SwingShape.Unrest);
        return new(
            DidWords.Name(swing.Channel), JsonNamingPolicy.KebabCaseLower.ConvertName(swing.Shape.ToString()), DidPictures.Unit(swing.Channel), known?.Before, known?.After, known?.HalfWidth,
            unrest ? null : known?.PerHour, unrest ? swing.Told : known?.Change(swing.Channel) ?? swing.Told, unrest ? "times" : DidWords.Unit(swing.Channel, Figure.Level), swing.Sigmas, swing.Span / 4.0, known?.OfHour ?? false);
    }

    private static string Sentence(List<SwungJson> channels, Cause first)
    {
        var strongest = channels[0];
        var moved = strongest switch
        {
            { SizeUnit: "times" } => $"The {strongest.Channel} became {Say(strongest.Size)} times as restless",
            { Before: { } before, After: { } after, BeforeIsExpected: true } => $"The {strongest.Channel} was {Level(strongest, after)} {strongest.Unit} where {Level(strongest, before)} was expected at that hour",
            { Before: { } before, After: { } after } => $"The {strongest.Channel} went from {Level(strongest, before)} to {Level(strongest, after)} {strongest.Unit}",
            _ => $"The {strongest.Channel} moved by {Say(strongest.Size)} {strongest.SizeUnit}",
        };
        var beside = channels.Select(one => one.Channel).Where(channel => channel != strongest.Channel).Distinct().ToList();
        var others = beside.Count > 0 ? $", and the {string.Join(" and the ", beside)} {(strongest is { SizeUnit: not "times", BeforeIsExpected: true } ? "moved with it" : "with it")}" : "";
        return $"{moved}{others}. {(first == Cause.NothingKnown ? "Nothing we know explains this." : $"Likeliest: {LookBackText.Words(first)}.")}";
    }

    /// <summary>The probe is looked at before the water.</summary>
    private static string Probe(IReadOnlyList<Candidate> causes)
    {
        var signs = causes.Where(one => s_probe.Contains(one.Cause) && one.Score > 0).ToList();
        return signs.Count == 0
            ? "Nothing speaks for the probe: neither out of the water, nor fouling, nor a calibration, nor a cut of the power fits."
            : $"It may be the probe and not the water: {string.Join("; ", signs.Select(one => $"{LookBackText.Words(one.Cause)} ({one.Score.ToString("0.0", CultureInfo.InvariantCulture)})"))}.";
    }

    /// <summary>A level of a channel in its unit, with its half width when that is known.</summary>
    public static string Level(SwungJson one, double value, double? halfWidth = null)
    {
        var channel = TankHistory.Channels.First(channel => DidWords.Name(channel) == one.Channel);
        return halfWidth is { } half ? DidWords.SayLevel(channel, value, half) : DidWords.SayLevel(channel, value);
    }

    private static string Say(double value) => DidWords.Say(value);
}
