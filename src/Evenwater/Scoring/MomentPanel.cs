using Evenwater.Core.Estimation;
using Evenwater.Page;
using Evenwater.Running;

namespace Evenwater.Scoring;

/// <summary>When something will be, as it was forecast at each moment of the night: a fan that should close on the truth.</summary>
internal static class MomentPanel
{
    private const double LongestSilence = 90;

    public static void Draw(
        PicturePen pen, TraceFrame frame, PictureScale y, TraceNight night, string what, Func<Evaluation, Quantiles> pick, double? truth)
    {
        pen.Open("g", ("clip-path", TracePicture.ClipOf(y)));
        pen.Curve([(frame.Time.At(y.From), y.At(y.From)), (frame.Time.At(y.To), y.At(y.To))], "t-now");
        foreach (var stretch in Stretches(night.Evaluations))
        {
            Fan(pen, frame, y, stretch, pick);
        }

        if (night.Evaluations.All(e => e.Seconds + pick(e).P05 > y.To))
        {
            pen.Text((frame.Left + frame.Right) / 2, (y.PixelFrom + y.PixelTo) / 2, "forecast later than is shown here, all night", "p-moment", "middle");
        }

        if (truth is { } came)
        {
            pen.Line(frame.Left, y.At(came), frame.Right, y.At(came), "t-true");
            pen.Dot(frame.Time.At(came), y.At(came), 4.5, "p-dot");
        }

        pen.Close();
        TraceAxes.Legend(
            pen, frame, y,
            [("p-fan t-fan-wide", "5 to 95 %"), ("p-fan t-fan-narrow", "25 to 75 %"), ("t-median", "median"), ("t-now", "the moment itself"), .. truth is { } at ? [("t-true", $"truly {what} {TracePicture.Clock(at)}")] : Array.Empty<(string, string)>()]);
    }

    private static void Fan(PicturePen pen, TraceFrame frame, PictureScale y, List<Evaluation> stretch, Func<Evaluation, Quantiles> pick)
    {
        double X(Evaluation e) => frame.Time.At(e.Seconds);
        double Y(Evaluation e, double seconds) => y.At(Math.Min(e.Seconds + seconds, y.To + (y.To - y.From)));
        pen.Area([.. stretch.Select(e => (X(e), Y(e, pick(e).P05), Y(e, pick(e).P95)))], "p-fan t-fan-wide");
        pen.Area([.. stretch.Select(e => (X(e), Y(e, pick(e).P25), Y(e, pick(e).P75)))], "p-fan t-fan-narrow");
        pen.Curve([.. stretch.Select(e => (X(e), Y(e, pick(e).P50)))], "t-median");
    }

    /// <summary>Forecasts without a gap between them.</summary>
    public static IEnumerable<List<Evaluation>> Stretches(IReadOnlyList<Evaluation> evaluations)
    {
        var stretch = new List<Evaluation>();
        foreach (var evaluation in evaluations)
        {
            if (stretch.Count > 0 && evaluation.Seconds - stretch[^1].Seconds > LongestSilence)
            {
                yield return stretch;
                stretch = [];
            }

            stretch.Add(evaluation);
        }

        if (stretch.Count > 0)
        {
            yield return stretch;
        }
    }
}
