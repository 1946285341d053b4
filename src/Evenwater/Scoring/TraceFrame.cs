using Evenwater.Page;

namespace Evenwater.Scoring;

/// <summary>Where everything of a trace's picture goes: four panels over one another, one time axis.</summary>
internal sealed record TraceFrame
{
    public const double Width = 960;
    public const double Height = 866;

    /// <summary>White around it, pixels.</summary>
    public const double Margin = 14;

    private const double LeftPixel = 60;
    private const double RightPixel = 956;

    public required PictureScale Time { get; init; }

    public required PictureScale Water { get; init; }

    public required PictureScale Even { get; init; }

    public required PictureScale Mark { get; init; }

    public required PictureScale Level { get; init; }

    public double Left => Time.PixelFrom;

    public double Right => Time.PixelTo;

    public static TraceFrame For(TraceNight night)
    {
        var start = night.Measured[0].Seconds;
        var end = Math.Max(night.EndSeconds, start + 60);
        var (low, high) = WaterRange(night);
        return new TraceFrame
        {
            Time = new(start, end, LeftPixel, RightPixel),
            Water = new(low, high, 318, 140),
            Even = new(start, Latest(start, end, night.Truth?.MatchSeconds), 492, 362),
            Mark = new(start, Latest(start, end, night.Truth?.BrimSeconds), 666, 536),
            Level = new(0, LevelTop(night), 824, 710),
        };
    }

    /// <summary>A forecast may point beyond the night; a third more than the night is shown of it.</summary>
    private static double Latest(double start, double end, double? truth) => start + (1.33 * (Math.Max(end, truth ?? end) - start));

    /// <summary>All that is true and nearly all that was measured: a probe in trouble may leave the picture.</summary>
    private static (double Low, double High) WaterRange(TraceNight night)
    {
        var measured = night.Measured.SelectMany(r => new[] { r.Vessel, r.Tank }).OfType<double>().Order().ToArray();
        double[] most = measured.Length == 0 ? [0, 1] : [measured[measured.Length / 50], measured[^((measured.Length / 50) + 1)]];
        var seen = night.TrueRows.SelectMany(r => new[] { r.VesselMicrosiemensPerCm, r.TankMicrosiemensPerCm }).OfType<double>().Concat(most).ToArray();
        var (low, high) = (seen.Min(), seen.Max());
        var room = Math.Max(0.1 * (high - low), 1);
        return (Math.Max(0, low - room), high + room);
    }

    private static double LevelTop(TraceNight night)
    {
        var brim = Math.Max(night.Prior.BrimLitres, night.Truth?.BrimLitres ?? 0);
        return 1.15 * Math.Max(brim, night.TrueRows.Select(r => r.Litres ?? 0).DefaultIfEmpty(0).Max());
    }
}
