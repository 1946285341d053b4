using System.Text.Json;
using Evenwater.Core;
using Evenwater.Core.Keeping;
using Evenwater.Core.Review;
using Evenwater.Core.Review.Comparing;

namespace Evenwater.Keeping;

/// <summary>Swings in lines for a terminal, or as rows.</summary>
internal static class LookBackText
{
    private const int Told = 3;
    private const double NearHours = 24;

    /// <summary>So much of a span is as good as all of it.</summary>
    private const double Whole = 0.9;

    /// <summary>Each episode: what swung from what to what, the likeliest causes with their numbers, and what the book says near it.</summary>
    public static IEnumerable<string> Of(LookBack back, Channel? alone, TimeZoneInfo zone)
    {
        foreach (var episode in Wanted(back, alone))
        {
            yield return $"{KeptTime.Text(At(back, episode), zone)}  {DidWords.Name(episode.Strongest.Channel)} {Size(back, episode)}";
            foreach (var swing in Strongest(episode))
            {
                if (swing.Shape == SwingShape.Unrest)
                {
                    yield return $"  {DidWords.Name(swing.Channel),-13} {Scatter(swing)}";
                    continue;
                }

                var course = back.Courses[swing.Channel];
                var own = episode.Of(swing.Channel);
                var began = own.Min(one => one.At);
                yield return $"  {DidWords.Name(swing.Channel),-13} {(BeforeAfter.Of(course, own) is { } known
                    ? Went(swing.Channel, known)
                    : "not measured on both sides")}; {Math.Abs(swing.Sigmas).ToString(Math.Abs(swing.Sigmas) < 10 ? "0.0" : "0")} times its own restlessness over {Number(swing.Span / 4.0)} h{(began == episode.At ? "" : $"; from {KeptTime.Text(course.At(began), zone)} on")}";
            }

            foreach (var (candidate, i) in Causes.Of(episode, back.Courses, back.Happened).Take(Told).Select((candidate, i) => (candidate, i)))
            {
                yield return candidate.Cause == Cause.NothingKnown ? $"  {i + 1}. nothing we know explains this better"
                    : $"  {i + 1}. {Words(candidate.Cause)} ({Number(candidate.Score)}): {string.Join("; ", candidate.Evidence.Select(one => $"{one.Text} [{one.Weight:+0.0;-0.0;0}]"))}";
            }

            foreach (var note in Near(back, episode)) yield return $"  book: {BookText.Line(note, zone)}";
        }
    }

    /// <summary>That nothing swung, and of how much that is said: what was not measured may have.</summary>
    /// <param name="read">Each channel that was looked at; one or more.</param>
    /// <param name="hours">The span, h.</param>
    /// <param name="span">The span in words.</param>
    public static string Nothing(IReadOnlyList<ReadChannel> read, double hours, string span)
    {
        if (read.Where(one => one.KnowsItself).ToList() is not { Count: > 0 } known) return $"Can't tell whether anything swung {span}: {Number(read.Max(one => one.Hours))} h of it were measured.";
        return known.Count == read.Count && known.All(one => one.Hours >= Whole * hours)
            ? $"Nothing swung {span}: {DidSentence.Listed([.. known.Select(one => one.Channel)])} moved no more than {(known.Count == 1 ? "it does by itself" : "they do by themselves")}."
            : $"Nothing swung in what was measured {span}: {DidSentence.Listed([.. known.Select(one => $"{one.Channel} for {Number(one.Hours)} h")])} of {Number(hours)} h.";
    }

    /// <summary>What is not known yet of what was read, and what that means for what is told; a line for each, none when all is known.</summary>
    public static IEnumerable<string> Early(IReadOnlyList<ReadChannel> read)
    {
        var light = DidWords.Name(Channel.TankLight);
        if (read.Where(one => !one.KnowsItself && (one.KnowsItsDay || one.Channel != light)).Select(one => one.Channel).ToList() is { Count: > 0 } strange)
        {
            yield return $"Of {DidSentence.Listed(strange)} nothing is told yet: what {(strange.Count == 1 ? "it does by itself" : "they do by themselves")} is known only once measured for {Number(Restlessness.LeastHours)} h on end.";
        }

        if (read.Where(one => !one.KnowsItsDay && (one.KnowsItself || one.Channel == light)).Select(one => one.Channel).ToList() is { Count: > 0 } young)
        {
            yield return $"Of {DidSentence.Listed(young)} not every hour of the day was measured on {DailyCourse.LeastDays} days yet: until then what comes every day may be told as if it were new, and of light nothing is told.";
        }
    }

    /// <summary>How much, in words: by how much what swung most rose or fell, or how many times as wide its single readings scatter.</summary>
    public static string Size(LookBack back, Episode episode) => episode.Strongest is { Shape: SwingShape.Unrest } restless ? Scatter(restless)
        : $"{Number(Change(back, episode))} {Unit(episode.Strongest.Channel)}{(Of(back, episode) is { OfHour: true } ? " beside what was expected" : "")}";

    private static string Went(Channel channel, in BeforeAfter known)
    {
        var (before, after) = (DidWords.SayLevel(channel, known.Before), DidWords.SayLevel(channel, known.After, known.HalfWidth));
        var rate = known.PerHour is { } perHour ? $", {DidWords.Say(perHour)} an hour" : "";
        return known.OfHour ? $"{after} {Own(channel)} where {before} was expected at that hour{rate}" : $"{before} to {after} {Own(channel)}{rate}";
    }

    /// <summary>By how much what swung most rose or fell, over all that belongs together: % of conductivity, °C, lx.</summary>
    public static double Change(LookBack back, Episode episode) => Of(back, episode)?.Change(episode.Strongest.Channel) ?? episode.Strongest.Told;

    private static BeforeAfter? Of(LookBack back, Episode episode) => BeforeAfter.Of(back.Courses[episode.Strongest.Channel], episode.Of(episode.Strongest.Channel));

    private static string Scatter(in Swing swing) => $"single readings scatter {Number(swing.Told)} times as wide as the day before";

    /// <summary>A row for each swing, times in UTC; one of restlessness has no before and after.</summary>
    public static IEnumerable<string> Rows(LookBack back, Channel? alone)
    {
        yield return "episode,channel,shape,from,found,before,after,half_width,per_hour,sigmas,cause,score,before_is_expected";
        foreach (var (episode, number) in Wanted(back, alone).Select((episode, i) => (episode, i + 1)))
        {
            var first = Causes.Of(episode, back.Courses, back.Happened)[0];
            foreach (var swing in episode.Swings)
            {
                var course = back.Courses[swing.Channel];
                var known = swing.Shape == SwingShape.Unrest ? null : BeforeAfter.Of(course, swing);
                yield return $"{number},{DidWords.Name(swing.Channel)},{JsonNamingPolicy.KebabCaseLower.ConvertName(swing.Shape.ToString())},{course.At(swing.At):yyyy-MM-ddTHH:mm:ssZ},{course.At(swing.FoundAt):yyyy-MM-ddTHH:mm:ssZ},{known?.Before:G6},{known?.After:G6},{known?.HalfWidth:G3},{known?.PerHour:G4},{swing.Sigmas:0.0},{Name(first.Cause)},{first.Score:0.0},{(known is null ? "" : known.Value.OfHour ? "yes" : "no")}";
            }
        }
    }

    /// <summary>A cause, in words.</summary>
    public static string Words(Cause cause) => cause switch
    {
        Cause.NothingKnown => "nothing we know",
        Cause.HeaterSchedule => "the heater holds another temperature, or none",
        Cause.LightSchedule => "the lamp's hours or strength",
        Cause.Dose => "something was added",
        Cause.Overfeeding => "food that rots",
        Cause.CalibrationStep => "a calibration",
        Cause.PowerCut => "nothing was read: no power, or the program was stopped",
        Cause.SourceDrip => "a run dripped out of the tank",
        Cause.ProbeOutOfWater => "the probe hung in the air",
        Cause.ProbeFouling => "a film on the probe, or its cleaning",
        _ => Name(cause).Replace('-', ' '),
    };

    /// <summary>A cause's name in data.</summary>
    public static string Name(Cause cause) => JsonNamingPolicy.KebabCaseLower.ConvertName(cause.ToString());

    private static string Unit(Channel channel) => channel == Channel.TankConductivity ? "%" : Own(channel);

    private static string Own(Channel channel) => channel switch { Channel.TankConductivity => "µS/cm", Channel.TankTemperature => "°C", _ => "lx" };

    private static string Number(double value) => value.ToString(Math.Abs(value) >= 100 ? "0" : "0.##");

    /// <summary>Of each channel what stands out most, and by how much it became restless beside it.</summary>
    public static IEnumerable<Swing> Strongest(Episode episode) =>
        episode.Swings.GroupBy(swing => (swing.Channel, swing.Shape == SwingShape.Unrest)).Select(group => group.MaxBy(swing => Math.Abs(swing.Sigmas)));

    /// <summary>The episodes that are asked for.</summary>
    public static IEnumerable<Episode> Wanted(LookBack back, Channel? alone) =>
        back.Episodes.Where(episode => alone is null || episode.Swings.Any(swing => swing.Channel == alone));

    private static DateTimeOffset At(LookBack back, Episode episode) => back.Courses.Values.First().At(episode.At);

    /// <summary>What the book says within a day of its beginning.</summary>
    public static IEnumerable<Note> Near(LookBack back, Episode episode)
    {
        var at = At(back, episode);
        return back.Happened.Notes.Where(note => note.At is { } when && Math.Abs((when - at).TotalHours) <= NearHours);
    }
}
