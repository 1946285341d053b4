using Evenwater.Core;
using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Watch;

namespace Evenwater.Running;

/// <summary>What is asked of a begin before the cycle sees it: whether it makes sense, and whether the station may be left alone.</summary>
internal static class MayBegin
{
    /// <summary>Why a run may not begin so, whatever the probes say; or null. A rehearsal and the demo know nothing beyond the station file.</summary>
    /// <param name="station">The station file.</param>
    /// <param name="phase">Where the station stands.</param>
    /// <param name="known">What the keeper says of the run.</param>
    /// <param name="proof">The proof tests.</param>
    /// <param name="finishing">Who is led through its end.</param>
    /// <param name="run">The station's last run; null when there was none.</param>
    public static string? WhyNot(Station station, Phase phase, StartKnown? known, ProofDesk proof, Finishing finishing, RunStart? run) =>
        phase == Phase.Holding && finishing.WhyNot(station.Name) is { } ending ? ending
            : phase != Phase.Holding && StartMissing.Of(station, known) is { } missing ? $"Refused: {missing}"
            : phase == Phase.Holding && OtherVessel(station, run?.Prior) is { } other ? $"Refused: {other}"
            : known is null ? null
            : phase == Phase.Holding && known is not { StartVolumeLitres: null, FlowMillilitresPerMinute: null, ProbesMatched: null, GainRatio: null, TankMicrosiemensPerCm: null }
            ? $"Refused: {station.Name} holds a run, and its volume is known from that. Say begin without new volumes, drip or probes to go on with it, "
                + "or finish it first and begin another."
            : phase == Phase.Holding && (known.Animals is { } told && told.Arrival != run?.Animals?.Arrival || known.Unpaced && run is not { Unpaced: true })
            ? $"Refused: {station.Name} holds a run, which goes on with the animals and the pacing that it began with. Say begin without --arrival and --unpaced to go on with it, "
                + "or finish it first and begin another."
            : known.Problem(station) is { } problem ? $"Refused: {problem}"
            : known.Attended ? null : WhyNotAlone(station, HeldLitres(phase, run) ?? known.StartVolumeLitres, proof);

    /// <summary>What the run that would go on began with, L; null where another would begin.</summary>
    public static double? HeldLitres(Phase phase, RunStart? run) => phase == Phase.Holding ? run?.Prior.StartVolumeLitres : null;

    /// <summary>What the station file says of the vessel by now and the run is not forecast by, with what to do; or null. The file may have been mended because the vessel is smaller.</summary>
    /// <param name="station">The station file.</param>
    /// <param name="run">What the run goes by; null when there is none.</param>
    public static string? OtherVessel(Station station, Prior? run)
    {
        if (run is null)
        {
            return null;
        }

        var vessel = station.Vessel;
        var (key, now, then) = vessel.Mode != run.Mode ? ("mode", Name(vessel.Mode), Name(run.Mode))
            : vessel.BrimLitres != run.BrimLitres ? ("brimLitres", Text(vessel.BrimLitres), Text(run.BrimLitres))
            : vessel.FreeboardLitres != run.FreeboardLitres ? ("freeboardLitres", Text(vessel.FreeboardLitres), Text(run.FreeboardLitres))
            : vessel.StandpipeLitres != run.StandpipeLitres ? ("standpipeLitres", Text(vessel.StandpipeLitres), Text(run.StandpipeLitres))
            : default;
        return key is null ? null
            : $"vessel.{key} = {now} in the station file, but the run of {station.Name} began with {then} and is forecast by that. "
                + "Finish it, and begin another with the volume as it is then.";

        static string Text(double? litres) => litres is { } known ? $"{known:0.####}" : "none";
        static string Name(VesselMode mode) => mode == VesselMode.Standpipe ? "standpipe" : "fill";
    }

    /// <summary>Why a run of this station may not be left alone, or null.</summary>
    /// <param name="station">The station file.</param>
    /// <param name="startLitres">What the run begins with, L: what could siphon must fit beside that; null for the station file's.</param>
    /// <param name="proof">The proof tests.</param>
    public static string? WhyNotAlone(Station station, double? startLitres, ProofDesk proof)
    {
        if (UnitSeen.Here is [var broken, ..])
        {
            return $"Refused: not to be left alone. {broken} Mend it ('evenwater check' tells what), restart the service, or stay beside it and say so: --attended, or its box on the page.";
        }

        var begun = startLitres is { } litres ? station with { Vessel = station.Vessel with { StartVolumeLitres = litres } } : station;
        if (Unattended.Refusals(begun) is [var first, ..])
        {
            return $"Refused: not to be left alone. {first.Key} = {first.Value}: {first.Allowed}. {first.Advice}";
        }

        return proof.WhyNotAlone() is { } why ? $"Refused: not to be left alone. {why} Or stay beside it and say so: --attended, or its box on the page." : null;
    }
}
