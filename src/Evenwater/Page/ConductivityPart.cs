using Evenwater.Core.Telling;

namespace Evenwater.Page;

/// <summary>The upper part: vessel and tank, the band in which they count as even, and the fan of the future.</summary>
internal static class ConductivityPart
{
    public static void Draw(PicturePen pen, PictureFrame frame, StationView view, string id, Band[] fan, PictureLabels labels)
    {
        Tolerance(pen, frame, view, id);
        var x = frame.Time;
        var y = frame.Conductivity;
        pen.Area([.. fan.Select(b => (x.At(view.NowSeconds + b.Seconds), y.At(b.P05), y.At(b.P95)))], "p-fan p-fan-vessel");
        pen.Curve([.. fan.Select(b => (x.At(view.NowSeconds + b.Seconds), y.At(b.P50)))], "p-vessel p-middle");
        foreach (var stretch in PicturePast.Stretches(view.History, p => Place(frame, p.Seconds, p.TankConductivity))) pen.Curve(stretch, "p-tank");
        foreach (var stretch in PicturePast.Stretches(view.History, p => Place(frame, p.Seconds, p.VesselConductivity))) pen.Curve(stretch, "p-vessel");

        var last = view.History.LastOrDefault(p => p.TankConductivity is not null);
        if (last.TankConductivity is { } tank)
        {
            pen.Line(x.At(last.Seconds), y.At(tank), frame.Right, y.At(tank), "p-tank p-ahead");
            labels.Add(y.At(tank), "tank", "p-name-tank");
        }

        var end = fan.Length > 0 ? fan[^1].P50 : view.History.LastOrDefault(p => p.VesselConductivity is not null).VesselConductivity;
        if (end is { } vessel) labels.Add(y.At(vessel), "vessel", "p-name-vessel");
    }

    private static void Tolerance(PicturePen pen, PictureFrame frame, StationView view, string id)
    {
        if (view.EvenByShare is not null || view.ToleranceMicrosiemensPerCm is not { } tolerance) return;
        var y = frame.Conductivity;
        var stretches = PicturePast.Stretches(view.History, p => p.TankConductivity is { } tank ? (p.Seconds, Tank: tank) : ((double, double Tank)?)null).ToList();
        for (var i = 0; i < stretches.Count; i++)
        {
            var stretch = stretches[i];
            if (i == stretches.Count - 1) stretch.Add((frame.Time.To, stretch[^1].Tank));
            pen.Area(
                [.. stretch.Select(p => (frame.Time.At(p.Item1), y.At(p.Tank - tolerance), y.At(p.Tank + tolerance)))],
                "p-even",
                $"url(#hatch-{id})");
        }
    }

    internal static (double X, double Y)? Place(PictureFrame frame, double seconds, double? value) =>
        value is { } v ? (frame.Time.At(seconds), frame.Conductivity.At(v)) : null;
}
