using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;
using Evenwater.Hardware.Rig;

namespace Evenwater.Running;

/// <summary>Watches a rehearsed night and keeps what it comes to. Instants are s from the start.</summary>
/// <param name="tolerance">Within which the waters count as even, µS/cm.</param>
internal sealed class Witness(double tolerance)
{
    private double _firstShare = 1; // of the vessel's water
    private double _inflowLitres;
    private Phase _before = Phase.Idle;

    /// <summary>The verdict so far.</summary>
    public Verdict Verdict { get; } = new();

    /// <summary>After each step: the water as it truly is.</summary>
    public void See(SimulatedRig rig, double at)
    {
        Verdict.LitresMost = Math.Max(Verdict.LitresMost, rig.VolumeLitres);
        var inflow = rig.InflowLitres - rig.BesideLitres;
        _firstShare *= Math.Exp((_inflowLitres - inflow) / rig.VolumeLitres);
        _inflowLitres = inflow;
        if (Verdict.TrueMatchAt is null && Math.Abs(rig.VesselEc25 - rig.TankEc25) <= tolerance)
        {
            Verdict.TrueMatchAt = at;
        }
    }

    /// <summary>After each cycle: what the program did.</summary>
    public void Follow(StationLoop loop, SimulatedRig rig, double at)
    {
        foreach (ref readonly var effect in loop.Effects)
        {
            switch (effect.Kind)
            {
                case EffectKind.AlarmChanged when effect.Calls:
                    Verdict.Alarms.Add((at, effect.Alarm));
                    Verdict.Story.Add((at, $"alarm: {AlarmTable.Of(effect.Alarm).Title}"));
                    break;
                case EffectKind.AlarmChanged:
                    Verdict.Story.Add((at, $"{AlarmSentence.Word(effect.Standing)}: {AlarmTable.Of(effect.Alarm).Title}"));
                    break;
                case EffectKind.DrawnOff:
                    Verdict.Story.Add((at, $"{effect.Drawn.Litres:0.0##} L are drawn off by hand"));
                    break;
                case EffectKind.Refused:
                    Verdict.Story.Add((at, Answers.Explain(effect.Refusal, effect.Verb, loop.State.Station.Name, loop.State.Phase)));
                    break;
                case EffectKind.PhaseChanged:
                    Verdict.Story.Add((at, $"{Words.Of(effect.Phase)}: {Words.Why(effect.Phase, effect.Trip)}"));
                    break;
            }
        }

        var phase = loop.State.Phase;
        if (phase == Phase.Dripping && _before != Phase.Dripping)
        {
            Verdict.OpenedAt ??= at;
        }
        else if (_before == Phase.Dripping && phase != Phase.Dripping)
        {
            Verdict.ClosedAt = at;
            Verdict.Trip = loop.State.Trip;
            Verdict.ClosedByPlan = phase == Phase.Holding && loop.State.WasEven;
            Verdict.TrulyEvenAtClose = Math.Abs(rig.VesselEc25 - rig.TankEc25) <= tolerance;
            Verdict.FarFromEven = Verdict.ClosedByPlan && Math.Abs(rig.VesselEc25 - rig.TankEc25) > 1.5 * tolerance;
            Verdict.ReplacedAtClose = loop.State.Forecast.JudgedByReplacedFraction ? 1 - _firstShare : null;
            (Verdict.LitresAtClose, Verdict.VesselAtClose, Verdict.TankAtClose) = (rig.VolumeLitres, rig.VesselEc25, rig.TankEc25);
        }

        _before = phase;
    }
}
