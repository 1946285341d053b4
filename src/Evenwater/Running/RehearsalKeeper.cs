using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;

namespace Evenwater.Running;

/// <summary>What the keeper of a rehearsed night does: begins the run as soon as the probes answer, and draws off what the station file plans.</summary>
/// <param name="simulated">The station.</param>
/// <param name="station">Its file.</param>
/// <param name="verdict">Is told where a begin is refused.</param>
internal sealed class RehearsalKeeper(SimulatedStation simulated, Station station, Verdict verdict)
{
    private const string By = "rehearsal";

    private int _drawn;

    /// <summary>Whether the run was asked for.</summary>
    public bool HasBegun { get; private set; }

    /// <summary>After each cycle.</summary>
    /// <param name="at">s from the start of the night.</param>
    public void Step(double at)
    {
        var loop = simulated.Loop;
        if (!HasBegun && TripCause.IsFresh(loop.State.Readings))
        {
            HasBegun = true;
            if (loop.Ask(new Asking(Verb.Begin, By, simulated.Keeper)) is { IsCompletedSuccessfully: true, Result: { Obeyed: false, Text: var why } })
            {
                verdict.Story.Add((at, why));
            }
        }

        if (_drawn < station.DrawOffs.Count && station.DrawOffs[_drawn] is var planned
            && loop.State.Run is not null && simulated.Now.SecondsSince(loop.State.StartedAt) >= planned.AtSeconds)
        {
            _drawn++;
            _ = loop.Ask(new Asking(Verb.Drawn, By, drawn: new Drawn(planned.Litres, planned.RelativeSd)));
        }
    }
}
