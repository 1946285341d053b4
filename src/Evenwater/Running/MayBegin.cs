using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Watch;

namespace Evenwater.Running;

/// <summary>What is asked of a begin before the cycle sees it: whether it makes sense, and whether the station may be left alone.</summary>
internal static class MayBegin
{
    /// <summary>Why a run may not begin so, whatever the probes say; or null. A rehearsal and the demo know nothing beyond the station file.</summary>
    public static string? WhyNot(Station station, Phase phase, StartKnown? known, ProofDesk proof) =>
        phase != Phase.Holding && StartMissing.Of(station, known) is { } missing ? $"Refused: {missing}"
            : known is null ? null
            : phase == Phase.Holding && known is not { StartVolumeLitres: null, FlowMillilitresPerMinute: null, ProbesMatched: null, GainRatio: null, TankMicrosiemensPerCm: null }
            ? $"Refused: {station.Name} holds a run, and its volume is known from that. Say begin without new volumes, drip or probes to go on with it, "
                + "or finish it first and begin another."
            : known.Problem(station) is { } problem ? $"Refused: {problem}"
            : known.Attended ? null : WhyNotAlone(station, proof);

    /// <summary>Why this station may not be left alone, or null.</summary>
    private static string? WhyNotAlone(Station station, ProofDesk proof)
    {
        if (UnitSeen.Here is [var broken, ..])
        {
            return $"Refused: not to be left alone. {broken} Mend it ('evenwater check' tells what), restart the service, or stay beside it and say --attended.";
        }

        if (Unattended.Refusals(station) is [var first, ..])
        {
            return $"Refused: not to be left alone. {first.Key} = {first.Value}: {first.Allowed}. {first.Advice}";
        }

        return proof.WhyNotAlone() is { } why ? $"Refused: not to be left alone. {why} Or stay beside it and say --attended." : null;
    }
}
