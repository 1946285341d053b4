using Evenwater.Core.Estimation;
using Evenwater.Hardware.Trace;
using Evenwater.Page;

namespace Evenwater.Scoring;

/// <summary>Above the panels, on the same time axis: what happened, what was told of it, and when the valve was closed.</summary>
internal static class TraceStrip
{
    private const double Happened = 60;
    private const double Told = 80;
    private const double Valve = 100;

    public static void Draw(PicturePen pen, TraceFrame frame, TraceNight night)
    {
        Row(pen, frame, Happened, "happened", Events(night).Select(e => (e.Seconds, e.Words, "t-happened")));
        Row(pen, frame, Told, "told", Telling(night).OrderBy(t => t.Seconds));
        pen.Text(0, Valve + 4, "closed", "p-tick");
        foreach (var (from, to) in Closed(night.Measured))
        {
            pen.Line(frame.Time.At(from), Valve, Math.Max(frame.Time.At(to), frame.Time.At(from) + 1), Valve, "t-closed");
        }

        foreach (var rows in new[] { frame.Water, frame.Even, frame.Mark, frame.Level })
        {
            foreach (var (seconds, _) in Events(night))
            {
                pen.Line(frame.Time.At(seconds), rows.PixelTo, frame.Time.At(seconds), rows.PixelFrom, "t-event");
            }

            if (night.Decision.ClosedAt is { } closed)
            {
                pen.Line(frame.Time.At(closed), rows.PixelTo, frame.Time.At(closed), rows.PixelFrom, "t-decision");
            }
        }
    }

    private static IEnumerable<(double Seconds, string Words, string Look)> Telling(TraceNight night)
    {
        foreach (var e in night.Evaluations)
        {
            if (e.Forecast.Events != ForecastEvents.None)
            {
                yield return (e.Seconds, ForecastFile.Events(e.Forecast.Events), "t-told");
            }
        }

        if (night.Decision.ClosedAt is { } closed)
        {
            yield return (closed, "would close", "t-closing");
        }
    }

    private static IEnumerable<(double Seconds, string Words)> Events(TraceNight night) =>
        (night.Truth?.Events ?? []).Select(e => (e.Seconds, $"{e.Kind}{(e.Probe is { } p ? $" {p}" : "")}{(e.Factor is { } f ? $" ×{f:0.#}" : "")}"))
            .Concat(night.Prior.DrawOffs.Select(d => (d.AtSeconds, $"drawn off {d.Litres:0.##} L")))
            .Where(e => e.Item1 >= night.Measured[0].Seconds && e.Item1 <= night.EndSeconds)
            .OrderBy(e => e.Item1);

    /// <summary>Every moment has its dot; its words only where they run into neither the words before nor the next dot.</summary>
    private static void Row(PicturePen pen, TraceFrame frame, double y, string name, IEnumerable<(double Seconds, string Words, string Look)> moments)
    {
        pen.Text(0, y + 4, name, "p-tick");
        var free = frame.Left;
        var all = moments.ToArray();
        for (var i = 0; i < all.Length; i++)
        {
            var (x, words) = (frame.Time.At(all[i].Seconds), all[i].Words);
            pen.Dot(x, y, 4, all[i].Look);
            var width = words.Length * 6.4;
            var next = i + 1 < all.Length ? frame.Time.At(all[i + 1].Seconds) - 8 : frame.Right;
            var start = x + 8 + width <= next ? x + 8 : i + 1 == all.Length ? x - 8 - width : double.NegativeInfinity;
            if (start >= free)
            {
                pen.Text(start, y + 4, words, all[i].Look == "t-closing" ? "p-moment" : "p-tick");
            }

            free = Math.Max(x, start + width) + 8;
        }
    }

    private static IEnumerable<(double From, double To)> Closed(IReadOnlyList<MeasuredRow> rows)
    {
        double? from = null;
        foreach (var row in rows)
        {
            if (!row.ValveOpen)
            {
                from ??= row.Seconds;
            }
            else if (from is { } since)
            {
                yield return (since, row.Seconds);
                from = null;
            }
        }

        if (from is { } still)
        {
            yield return (still, rows[^1].Seconds);
        }
    }
}
