using Evenwater.Core.Estimation;

namespace Evenwater.Core.Stations;

/// <summary>
/// Whether a run may be left alone. The last layer needs no power and no program: an intake so shallow that everything
/// that could siphon fits the vessel. Common practice, no source for the 80 %.
/// </summary>
public static class Unattended
{
    /// <summary>At most this share of the vessel's free volume may be able to siphon into it.</summary>
    public const double MaxShareOfFreeVolume = 0.8;

    private const double RoundingLitres = 1e-9;

    /// <summary>
    /// What could run down from the source by itself, L: surface times intake depth (1 m2 x 1 mm = 1 L), plus what an automatic
    /// top-off could add. Null when a top-off is on and its reservoir is not counted: then there is no bound.
    /// </summary>
    public static double? SiphonLitres(Source source)
    {
        ArgumentNullException.ThrowIfNull(source);
        var litres = source.SurfaceAreaSquareMetres * source.IntakeDepthMillimetres;
        return source.AutomaticTopOff ? litres + source.TopOffReservoirLitres : litres;
    }

    /// <summary>What can still run in before water spills, L: brim less start volume; with a standpipe, that or what vessel and catch vessel take while it runs, whichever is less.</summary>
    public static double FreeLitres(Vessel vessel)
    {
        ArgumentNullException.ThrowIfNull(vessel);
        var toBrim = vessel.BrimLitres - vessel.StartVolumeLitres;
        return vessel is { Mode: VesselMode.Standpipe, StandpipeLitres: { } at, CatchLitres: { } below } ? Math.Min(toBrim, at - vessel.StartVolumeLitres + below) : toBrim;
    }

    /// <summary>Why this station must not run unattended; empty when nothing here speaks against it.</summary>
    public static IReadOnlyList<Problem> Refusals(Station station)
    {
        ArgumentNullException.ThrowIfNull(station);
        var findings = new Findings();
        var allowed = MaxShareOfFreeVolume * FreeLitres(station.Vessel);
        if (SiphonLitres(station.Source) is not { } siphon)
        {
            findings.Require(false, "source.automaticTopOff", "true", "false, or with topOffReservoirLitres counted",
                "Switch the top-off off for the run: it refills what a siphon takes.");
        }
        else if (!(siphon <= allowed + RoundingLitres))
        {
            var depth = (allowed - (siphon - (station.Source.SurfaceAreaSquareMetres * station.Source.IntakeDepthMillimetres)))
                / station.Source.SurfaceAreaSquareMetres;
            var byCatch = FreeLitres(station.Vessel) < station.Vessel.BrimLitres - station.Vessel.StartVolumeLitres;
            findings.Require(false, "source.intakeDepthMillimetres", station.Source.IntakeDepthMillimetres,
                $"what could siphon, {Findings.Text(siphon)} L, must not exceed {Findings.Text(allowed)} L (80 % of {(byCatch ? "what the vessel takes to its standpipe and the catch vessel below it" : "the vessel's free volume")})",
                depth >= 1 ? $"Raise the intake to at most {Math.Floor(depth):0} mm below the surface{(byCatch ? ", or take a larger catch vessel" : "")}."
                    : $"Take a larger {(byCatch ? "catch " : "")}vessel{(station.Source.AutomaticTopOff ? ", start with less water, or switch the top-off off" : ", or start with less water")}.");
        }

        return findings.Problems;
    }
}
