using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Hardware.Rig;

namespace Evenwater.Running;

/// <summary>Those faults of a simulated night that happen to the program or are done by the keeper: no rig can do them.</summary>
internal sealed class Mishaps(IReadOnlyList<RigFault> faults, MonotonicTime start)
{
    private const double ResetEverySeconds = 600;

    private readonly double _stops = First(faults, FaultKind.ProcessStops);
    private readonly double _hangs = First(faults, FaultKind.CycleHangs);
    private readonly double _probesHang = First(faults, FaultKind.ProbesHang);
    private readonly double _logLost = First(faults, FaultKind.LogLost);
    private readonly double _resets = First(faults, FaultKind.KeeperResets);
    private readonly double _claims = First(faults, FaultKind.ClaimedDrawOff);
    private double _nextReset;

    /// <summary>Whether the whole program stands still.</summary>
    public bool ProcessStops { get; private set; }

    /// <summary>Whether the cycle stands still.</summary>
    public bool CycleHangs { get; private set; }

    /// <summary>Whether the probes' thread stands still.</summary>
    public bool ProbesHang { get; private set; }

    /// <summary>Whether the log can commit nothing.</summary>
    public bool LogLost { get; private set; }

    /// <summary>Whether the keeper has told of water drawn off that was not: what is told is not done from then on.</summary>
    public bool Claimed { get; private set; }

    /// <summary>Goes on to this instant, and asks what the keeper asks.</summary>
    public void Step(StationLoop loop, MonotonicTime now)
    {
        var at = now.SecondsSince(start);
        (ProcessStops, CycleHangs, ProbesHang, LogLost) = (at >= _stops, at >= _hangs, at >= _probesHang, at >= _logLost);
        if (at >= _claims && !Claimed)
        {
            Claimed = true;
            _ = loop.Ask(new Asking(Verb.Drawn, "keeper, untruly", drawn: new Drawn(RigFault.HandLitres, 0.02)));
        }

        if (at >= Math.Max(_resets, _nextReset) && loop.State.Phase is Phase.Tripped or Phase.Holding)
        {
            _nextReset = at + ResetEverySeconds;
            _ = loop.Ask(new Asking(Verb.Reset, "keeper"));
            _ = loop.Ask(new Asking(Verb.Begin, "keeper"));
        }
    }

    private static double First(IReadOnlyList<RigFault> faults, FaultKind kind) =>
        faults.Where(f => f.Kind == kind).Select(f => f.AtSeconds).DefaultIfEmpty(double.PositiveInfinity).Min();
}
