using Evenwater.Core;
using Evenwater.Core.Safety;

namespace Evenwater.Running;

/// <summary>What a begin has to pass in the turn that takes it, and what the run then begins with.</summary>
/// <param name="state">The station's.</param>
/// <param name="devices">Its devices, which may be missing.</param>
/// <param name="proof">How the proof test stands.</param>
/// <param name="finishing">Who is led through the end of its run.</param>
/// <param name="inCup">Who is led through a calibration of its probes.</param>
/// <param name="recorder">Keeps what was refused.</param>
internal sealed class BeginGate(StationState state, LateDevices devices, ProofDesk proof, Finishing finishing, InCup inCup, Recorder recorder)
{
    /// <summary>A begin is let through only while it still means what it meant when it was asked: what was taken before it may have ended the run, or reset it.</summary>
    public Asking? Permitted(Asking? asking, MonotonicTime now)
    {
        if (asking is not { Verb: Verb.Begin })
        {
            return asking;
        }

        var refusal = asking.GoesOn && state.Phase is Phase.Idle or Phase.Finished or Phase.Abandoned
            ? $"Refused: the run of {state.Station.Name} that this was to go on with has ended meanwhile. Measure what is in the vessel, and begin another."
            : devices.Missing is { } missing ? $"Refused: the board of {state.Station.Name} can not be opened. {missing}"
            : inCup.WhyNot(state.Station.Name) ?? MayBegin.WhyNot(state.Station, state.Phase, asking.Known, proof, finishing, state.Run) ?? WhyNotSigned(asking.Signed);
        if (refusal is null)
        {
            return asking;
        }

        recorder.Event("refused", refusal, state, now);
        asking.Reply(new Answer(false, refusal));
        return null;
    }

    /// <summary>What a run begins with; null when the asking begins none.</summary>
    public RunStart? Start(Asking? asking, in Readings readings, ulong seed)
    {
        if (asking is not { Verb: Verb.Begin } || (state.Phase == Phase.Holding && state.Run is not null))
        {
            return null;
        }

        return new RunStart(recorder.NextRunId(), RunPrior.Of(state.Station, asking.Known ?? new StartKnown(), readings), seed, asking.Known?.GainRatio ?? 1, asking.Known?.Unpaced ?? false)
        {
            Animals = asking.Known?.Animals,
            ProofTest = asking.By == ProofDesk.By ? true : null,
        };
    }

    /// <summary>An opening that was signed for a budget is let through only while that is the budget. Where none can open whatever was signed, the cycle says so.</summary>
    private string? WhyNotSigned(OpeningBudget? signed) =>
        signed is not { } by || state.Phase is Phase.Armed or Phase.Dripping or Phase.Tripped || OpeningBudget.Of(state) is var budget && budget == by
            ? null
            : $"Refused: the opening was signed for {by.Millilitres} mL and {by.Seconds} s, but {state.Station.Name} would permit "
                + $"{budget.Millilitres} mL and {budget.Seconds} s by now. Ask for another challenge.";
}
