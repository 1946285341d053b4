using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>What the tank loses in a run, and what of it then stands dry.</summary>
public sealed record TankLoss
{
    /// <summary>How far the surface has fallen then, mm; an automatic top-off makes up for what its reservoir holds.</summary>
    public required double FallsMillimetres { get; init; }

    /// <summary>How far it could fall if nothing closed: to the intake, mm; 0 under a top-off without a bound, which then fills the vessel instead.</summary>
    public required double AtWorstMillimetres { get; init; }

    /// <summary>How far below the surface the heater must stay covered, mm; null when the station tells of none.</summary>
    public required double? HeaterTopMillimetres { get; init; }

    /// <summary>Whether the plan itself uncovers the heater.</summary>
    public bool HeaterExposed => FallsMillimetres > HeaterTopMillimetres;

    /// <summary>Whether a siphon that runs to the intake would.</summary>
    public bool HeaterExposedAtWorst => AtWorstMillimetres > HeaterTopMillimetres;

    /// <summary>For a station whose run closes so, or does not (null).</summary>
    public static TankLoss Of(Station station, CourseAt? whenClosed)
    {
        ArgumentNullException.ThrowIfNull(station);
        var source = station.Source;
        var litres = whenClosed?.InflowLitres ?? Unattended.SiphonLitres(source) ?? source.SurfaceAreaSquareMetres * source.IntakeDepthMillimetres;
        var madeUp = source.AutomaticTopOff ? source.TopOffReservoirLitres ?? double.PositiveInfinity : 0;
        return new TankLoss
        {
            FallsMillimetres = Math.Max(0, litres - madeUp) / source.SurfaceAreaSquareMetres, // L / m2 = mm
            AtWorstMillimetres = double.IsPositiveInfinity(madeUp) ? 0 : source.IntakeDepthMillimetres,
            HeaterTopMillimetres = source.HeaterTopDepthMillimetres,
        };
    }
}
