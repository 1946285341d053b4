using Evenwater.Core.Estimation;

namespace Evenwater.Page;

/// <summary>The two layouts of the picture, each legible at its own width.</summary>
public enum PictureSize
{
    /// <summary>For a telephone held upright.</summary>
    Narrow,

    /// <summary>For anything wider.</summary>
    Wide,
}

/// <summary>Where everything of the picture goes.</summary>
internal sealed record PictureFrame
{
    /// <summary>Between the digits of a level and the axis, px.</summary>
    public const double TickGap = 6;

    private const double Hour = 3600;

    /// <summary>A digit of a level takes so much, px: 1303/2048 of the 11.5 px of .p-tick in DejaVu Sans, the widest of the usual faces, from memory.</summary>
    private const double Digit = 7.4;

    public required PictureSize Size { get; init; }

    public required double Width { get; init; }

    public double Height { get; } = 470;

    public required PictureScale Time { get; init; }

    public required PictureScale Conductivity { get; init; }

    public required PictureScale Volume { get; init; }

    public required double HorizonSeconds { get; init; }

    public double Left => Time.PixelFrom;

    public double Right => Time.PixelTo;

    public static PictureFrame For(StationView view, PictureSize size)
    {
        var horizon = Horizon(view);
        var first = view.History.Count > 0 ? view.History[0].Seconds : view.NowSeconds;
        var from = Math.Min(first, view.NowSeconds - (0.1 * horizon));
        var (low, high) = ConductivityRange(view);
        var (width, left, right) = Columns(size, high);
        return new PictureFrame
        {
            Size = size,
            Width = width,
            HorizonSeconds = horizon,
            Time = new(from, view.NowSeconds + horizon, left, right),
            Conductivity = new(low, high, 262, 24),
            Volume = new(0, VolumeTop(view), 416, 304),
        };
    }

    /// <summary>The picture's width, and where its curves begin and end, px.</summary>
    /// <param name="size">For which width.</param>
    /// <param name="most">The highest conductivity, µS/cm.</param>
    public static (double Width, double Left, double Right) Columns(PictureSize size, double most) =>
        size == PictureSize.Wide ? (760, Math.Max(44, LevelsWidth(most)), 672) : (358, Math.Max(34, LevelsWidth(most)), 280);

    /// <summary>What the levels take at the left, px: sea water's conductivities have a digit or two more, and what has no room there is cut off, first digit first.</summary>
    /// <param name="most">The highest level.</param>
    public static double LevelsWidth(double most) => TickGap + (Digit * $"{most:0}".Length);

    private static double Horizon(StationView view)
    {
        if (!view.ValveOpen || view.Forecast is not { } forecast) return Hour;
        var even = forecast.EvenSeconds;
        double[] ends = [even.P50, even.P95, forecast.BrimSeconds.P50, forecast.BrimSeconds.P95];
        return Math.Clamp(1.06 * ends.Where(e => e <= 12 * Hour).DefaultIfEmpty(0).Max(), Hour, 12 * Hour);
    }

    // All that is measured and the tolerance band, with room for a label below the band or above it.
    private static (double Low, double High) ConductivityRange(StationView view)
    {
        var tolerance = view.EvenByShare is null ? view.ToleranceMicrosiemensPerCm ?? 0 : 0;
        var seen = view.History.Select(p => p.VesselConductivity)
            .Concat(view.History.SelectMany(p => new[] { p.TankConductivity - tolerance, p.TankConductivity + tolerance }))
            .OfType<double>().DefaultIfEmpty(0).ToList();
        var (low, high) = (seen.Min(), seen.Max());
        var room = Math.Max(0.14 * (high - low), 5);
        return (Math.Max(0, low - room), high + room);
    }

    private static double VolumeTop(StationView view)
    {
        var most = view.History.Select(p => p.VolumeP95).OfType<double>().Append(view.Forecast?.VolumeLitres.P95 ?? 0).Max();
        return Math.Max(1.32 * (view.BrimLitres ?? 0), Math.Max(1.1 * most, view.BrimLitres is null ? 1 : 0));
    }
}
