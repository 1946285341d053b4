namespace Evenwater.Page;

/// <summary>One instant of the past. A value that was missing is null and leaves a gap in the picture.</summary>
/// <param name="Seconds">On the clock of <see cref="StationView.NowSeconds"/>.</param>
/// <param name="VesselConductivity">µS/cm at 25 °C.</param>
/// <param name="TankConductivity">µS/cm at 25 °C.</param>
/// <param name="VesselTemperature">°C.</param>
/// <param name="TankTemperature">°C.</param>
/// <param name="VolumeP05">5 % of the volume, L.</param>
/// <param name="VolumeP50">50 %.</param>
/// <param name="VolumeP95">95 %.</param>
public readonly record struct HistoryPoint(
    double Seconds,
    double? VesselConductivity,
    double? TankConductivity,
    double? VesselTemperature,
    double? TankTemperature,
    double? VolumeP05,
    double? VolumeP50,
    double? VolumeP95);

/// <summary>
/// The whole of a run in at most <see cref="Capacity"/> points: when they are full, every second one goes and from
/// then on points are taken half as often. Owned by one thread; the snapshot may be handed to any.
/// </summary>
public sealed class RunHistory
{
    /// <summary>At most this many points.</summary>
    public const int Capacity = 300;

    private readonly List<HistoryPoint> _points = new(Capacity);
    private double _stepSeconds;

    /// <summary>Begins anew.</summary>
    public void Clear()
    {
        _points.Clear();
        _stepSeconds = 0;
    }

    /// <summary>Takes a point, unless it follows the last too soon to be kept or lies before it.</summary>
    public void Add(in HistoryPoint point)
    {
        if (_points.Count > 0 && (point.Seconds <= _points[^1].Seconds || point.Seconds - _points[^1].Seconds < _stepSeconds)) return;
        _points.Add(point);
        if (_points.Count <= Capacity - 1) return;
        var kept = 0;
        for (var i = 0; i < _points.Count; i += 2) _points[kept++] = _points[i];
        _points.RemoveRange(kept, _points.Count - kept);
        _stepSeconds = (_points[^1].Seconds - _points[0].Seconds) / (kept - 1) * 0.999;
    }

    /// <summary>The points so far, oldest first.</summary>
    public IReadOnlyList<HistoryPoint> Snapshot() => [.. _points];
}
