using Evenwater.Core.Charting;

namespace Evenwater.Page.Charts;

/// <summary>Where everything of a chart goes that the server draws: two layouts, each legible at its own width.</summary>
internal sealed record HistoryFrame(double Width, double Left, double Right, int Bins, int Ticks)
{
    public const double Top = 20;
    public const double Bottom = 176;
    public const double Height = 200;

    public static HistoryFrame Of(PictureSize size) => size == PictureSize.Wide ? new(760, 52, 752, 360, 8) : new(358, 44, 352, 170, 4);

    /// <summary>From the lowest to the highest of all lines, with a little room; of switches from dry to wet.</summary>
    public static PictureScale Values(IEnumerable<ChartLine> lines, bool switches)
    {
        if (switches) return Values(0, 1);
        var bins = lines.SelectMany(line => line.Bins).OfType<Bin>().ToList();
        if (bins.Count == 0) return new(0, 1, Bottom, Top);
        var (low, high) = (bins.Min(bin => bin.Min), bins.Max(bin => bin.Max));
        return Values(low, high);
    }

    /// <summary>From the lowest to the highest, with a little room; a line that hardly moves is not stretched until its levels have more digits than there is place for.</summary>
    public static PictureScale Values(double low, double high)
    {
        var room = Math.Max(0.06 * (high - low), Math.Max(0.05, 2e-4 * Math.Max(Math.Abs(low), Math.Abs(high))));
        return new(low - room, high + room, Bottom, Top);
    }
}
