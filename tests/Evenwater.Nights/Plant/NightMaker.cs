using Evenwater.Hardware.Trace;
using Evenwater.Nights.Scoring;

namespace Evenwater.Nights.Plant;

/// <summary>
/// Lets a planned night happen. It knows nothing of the estimator: other zones, another drip, other noise. The night is over at its
/// planned end or some time after the water has reached the rim, where it then stays.
/// </summary>
public sealed class NightMaker(NightPlan plan, Chance chance)
{
    private const int RowsPerTruth = 15;

    private readonly Vessel _vessel = new(
        plan.StartLitres, plan.VesselMicrosiemens, plan.BagCelsius, plan.Stirring.SurfaceShare, plan.Stirring.FloorShare);

    private readonly Inflow _inflow = new(plan.Inflow, chance, plan.PeriodSeconds);
    private readonly Tank _tank = new(plan.TankMicrosiemens, plan.TankCelsius, plan.TankWanderSd, plan.TankChanges, chance, plan.PeriodSeconds);
    private readonly Instruments _instruments = new(plan, chance);
    private readonly List<TraceRow> _rows = new((int)(plan.Seconds / plan.PeriodSeconds) + 1);
    private readonly List<TrueRow> _truth = [];
    private int _command;
    private int _drawOff;
    private bool _open = true;
    private double? _match;
    private double? _mark;
    private double? _spill;

    public Night Make(string name, string family)
    {
        var end = plan.Seconds;
        var seconds = 0.0;
        for (var i = 0; seconds <= end; seconds = ++i * plan.PeriodSeconds)
        {
            Obey(seconds);
            var powered = IsPowered(seconds);
            var flowing = _open && (powered || !plan.Prior.ValveClosesOnPowerLoss);
            var flow = _inflow.Step(seconds, (_vessel.Litres - plan.StartLitres) / (plan.BrimLitres - plan.StartLitres), flowing);
            Judge(seconds, ref end);
            _instruments.Feel(seconds, _vessel, _tank, flow);
            if (powered && i % plan.StepsPerRow == 0)
            {
                if (_rows.Count % RowsPerTruth == 0)
                {
                    _truth.Add(new TrueRow(seconds, _vessel.Litres, flow, _vessel.Mean, _tank.Microsiemens));
                }

                _rows.Add(new TraceRow(seconds, _instruments.Read(seconds, _vessel, _tank), _open));
            }

            Flow(seconds, flow);
        }

        return new Night(name, family, plan.Prior, _rows, _match, _mark)
        {
            Truth = new NightTruth
            {
                StartLitres = plan.StartLitres,
                BrimLitres = plan.BrimLitres,
                MarkLitres = plan.MarkLitres,
                StandpipeLitres = plan.StandpipeLitres,
                StartMillilitresPerMinute = plan.Inflow.MillilitresPerMinute,
                StartVessel = plan.VesselMicrosiemens,
                StartTank = plan.TankMicrosiemens,
                SpillSeconds = _spill,
                EndSeconds = _rows[^1].Seconds,
                Events = [.. plan.Events.OrderBy(e => e.AtSeconds)],
                Rows = _truth,
            },
        };
    }

    private bool IsPowered(double seconds)
    {
        foreach (var gap in plan.Gaps)
        {
            if (seconds >= gap.FromSeconds && seconds < gap.ToSeconds)
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>The plan's commands and the keeper's jug, when their time has come.</summary>
    private void Obey(double seconds)
    {
        while (_command < plan.Prior.ValveCommands.Count && plan.Prior.ValveCommands[_command].AtSeconds <= seconds)
        {
            _open = plan.Prior.ValveCommands[_command++].Open;
        }

        while (_drawOff < plan.Prior.DrawOffs.Count && plan.Prior.DrawOffs[_drawOff].AtSeconds <= seconds)
        {
            var litres = plan.Prior.DrawOffs[_drawOff].Litres * plan.DrawnFactors[_drawOff];
            _vessel.Stir();
            _vessel.Take(Vessel.Body, Math.Min(litres, 0.6 * _vessel.Litres));
            _vessel.Stir();
            _drawOff++;
        }
    }

    private void Judge(double seconds, ref double end)
    {
        _match ??= Math.Abs(_vessel.Mean - _tank.Microsiemens) <= plan.Prior.ToleranceMicrosiemensPerCm ? seconds : null;
        _mark ??= _vessel.Litres >= plan.MarkLitres ? seconds : null;
        if (_spill is null && _vessel.Litres >= plan.BrimLitres)
        {
            _spill = seconds;
            end = Math.Min(end, seconds + plan.SpillSeconds);
        }
    }

    /// <summary>One step of water, salt and heat.</summary>
    private void Flow(double seconds, double millilitresPerMinute)
    {
        var dt = plan.PeriodSeconds;
        var litres = millilitresPerMinute * dt / 60_000;
        var stirring = plan.Stirring;
        if (litres > 0)
        {
            var celsius = plan.Air.Celsius
                + ((_tank.Celsius - plan.Air.Celsius) * Math.Exp(-plan.TubeMillilitresPerMinute / Math.Max(millilitresPerMinute, 0.1)));
            _vessel.Pour(Vessel.Surface, litres * (1 - stirring.PlungeShare), _tank.Microsiemens, celsius);
            _vessel.Pour(Vessel.Floor, litres * stirring.PlungeShare, _tank.Microsiemens, celsius);
        }

        var lively = stirring.StillShare + ((1 - stirring.StillShare) * Math.Min(millilitresPerMinute / plan.Inflow.MillilitresPerMinute, 2));
        _vessel.Exchange(Vessel.Surface, Vessel.Body, 1 - Math.Exp(-dt * lively / stirring.SurfaceSeconds));
        _vessel.Exchange(Vessel.Body, Vessel.Floor, 1 - Math.Exp(-dt * lively / stirring.FloorSeconds));
        _vessel.Warm(plan.Air.WarmthInto(_vessel.Celsius) * dt);
        _vessel.Evaporate(plan.Air.EvaporationFrom(_vessel.Celsius) * dt);
        _vessel.Take(Vessel.Surface, _vessel.Litres - Math.Min(plan.StandpipeLitres ?? plan.BrimLitres, plan.BrimLitres));
        _tank.Step(seconds + dt);
        _instruments.Pass(litres, dt);
    }
}
