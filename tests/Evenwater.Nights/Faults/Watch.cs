using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Hardware.Rig;
using Evenwater.Running;

namespace Evenwater.Nights.Faults;

/// <summary>
/// Watches one night step by step: counts what must never be, asks to open again and again after a trip, as somebody does who does not
/// understand it, and says when nothing can change any more.
/// </summary>
internal sealed class Watch(IReadOnlyList<RigFault> faults, Func<SimulatedRig, bool> drowned)
{
    /// <summary>The night is over when no water has run for so long, and every fault has begun. A power cut is shorter, and an ask comes more often.</summary>
    private const double StillSeconds = 1800;

    private const double AskEverySeconds = 600;

    private readonly bool _resets = faults.Any(f => f.Kind == FaultKind.KeeperResets);
    private readonly double _lastFault = faults.Select(f => f.AtSeconds).DefaultIfEmpty(0).Max();
    private Phase _before = Phase.Idle;
    private double _ranAt;
    private double _nextAsk;
    private bool _latched;
    private bool _wasWet;

    /// <summary>Openings by the program while the high float's or the leak sensor's wire said wet.</summary>
    public int WetOpenings { get; private set; }

    /// <summary>Runs that went on after a trip without a reset that was granted.</summary>
    public int Resumed { get; private set; }

    /// <summary>Resets that were granted while one of them said wet.</summary>
    public int WetResets { get; private set; }

    /// <summary>Openings by the program.</summary>
    public int Openings { get; private set; }

    /// <summary>Times an opening was asked for although the station had tripped.</summary>
    public int Asked { get; private set; }

    /// <summary>Sees one step; true when nothing can change any more.</summary>
    public bool Step(SimulatedStation night, SimulatedRig rig)
    {
        var at = night.Now.Seconds - 1;
        Follow(night.Loop.State.Phase, rig);
        if (night.Loop.State.Phase == Phase.Tripped && at >= _nextAsk)
        {
            (_nextAsk, Asked) = (at + AskEverySeconds, Asked + 1);
            _ = night.Loop.Ask(new Asking(Verb.Begin, "somebody"));
        }

        _ranAt = rig.InflowMillilitresPerMinute > 0 ? at : _ranAt;
        return drowned(rig) || at - Math.Max(_ranAt, _lastFault) > StillSeconds;
    }

    private void Follow(Phase phase, SimulatedRig rig)
    {
        var wet = rig.WireIsWet(Channel.FloatHigh) || rig.WireIsWet(Channel.Leak);
        if (phase == Phase.Dripping && _before != Phase.Dripping)
        {
            Openings++;
            WetOpenings += wet && _wasWet ? 1 : 0; // a wire that turned wet in this very step is still being debounced
        }

        // The one way out of a trip is a reset, which leads to holding, and only one keeper of all nights asks for it.
        var left = _before == Phase.Tripped && phase == Phase.Holding && _resets;
        WetResets += left && wet && _wasWet ? 1 : 0;
        _latched = phase == Phase.Tripped || (_latched && !left);
        Resumed += _latched && phase is Phase.Armed or Phase.Dripping && _before is not (Phase.Armed or Phase.Dripping) ? 1 : 0;
        (_before, _wasWet) = (phase, wet);
    }
}
