using Evenwater.Core.Review.Comparing;
using Evenwater.Core.Standing;
using Evenwater.Keeping;

namespace Evenwater.Page.Looking;

/// <summary>The pictures of an answer: a channel from before to after, its levels, the change, and what else happened by its number.</summary>
internal static class DidPictures
{
    public static Looked Of(DidFound found, ChannelCompared channel)
    {
        var (answer, spans) = (found.Answer, found.Answer.Spans);
        var course = found.Courses.First(one => one.Channel == channel.Channel);
        var (from, to) = (course.Of(spans.From), course.Of(spans.To));
        List<(DateTimeOffset, double?)> points = [];
        for (var i = from; i < to; i += 4)
        {
            double[] known = [.. Enumerable.Range(i, 4).Where(q => q >= 0 && q < course.Seen.Count).Select(q => course.Seen[q]).OfType<double>()];
            points.Add((course.At(i + 2), known.Length > 0 ? Spread.Median(known) : null));
        }

        var level = channel[Figure.Level];
        List<LookLevel> levels = [];
        if (level?.Before is { } before) levels.Add(Of(level, before, spans.From, spans.BeforeEnd));
        if (level?.After is { } after) levels.Add(Of(level, after, spans.AfterBegin, spans.To));
        var name = DidWords.Name(channel.Channel);
        var words = channel.TooLittle is { } why ? $"Can't tell: {why}." : $"The level before and after: {DidWords.Difference(level!)}; {DidWords.Verdict(level!)}.";
        return new(
            $"did-{name}", $"{char.ToUpperInvariant(name[0])}{name[1..]}", words, Unit(channel.Channel), spans.From, spans.To, points, levels,
            [(spans.At, null), .. answer.Else.All.Select((one, i) => (one.What.At, (int?)(i + 1)))]);
    }

    /// <summary>The channel's own unit.</summary>
    public static string Unit(Core.Channel channel) => channel switch { Core.Channel.TankConductivity => "µS/cm", Core.Channel.TankTemperature => "°C", _ => "lx" };

    private static LookLevel Of(Compared level, Estimate one, DateTimeOffset from, DateTimeOffset to)
    {
        double Own(double value) => DidWords.Own(level.Channel, Figure.Level, value);
        return new(from, to, Own(one.Low), Own(one.Value), Own(one.High));
    }
}
