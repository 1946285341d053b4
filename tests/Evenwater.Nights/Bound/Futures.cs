using Evenwater.Core.Estimation;
using Evenwater.Nights.Plant;

namespace Evenwater.Nights.Bound;

/// <summary>What the plant's law lets happen from a moment on, given all latents until then.</summary>
internal sealed class Futures(NightLikelihood past, Chance chance)
{
    private readonly Prior _prior = past.Prior;
    private readonly ValvePlan _plan = new(past.Prior.ValveCommands);

    /// <summary>Seconds from the last step until even and until the mark, one future; infinite beyond the horizon, 0 when it was so before.</summary>
    public (double Match, double Brim) One()
    {
        var l = past.Latents;
        var water = past.Water;
        var start = past.Data.StepCount;
        var match = past.Reached.Even ? 0 : Quantiles.Beyond;
        var brim = past.Reached.AtMark ? 0 : l.CeilingLitres < l.MarkLitres ? double.NaN : Quantiles.Beyond;
        var rest = new Rest(this, l);
        var air = new Air(l.RoomCelsius, l.Humidity, l.SurfaceSquareMetres, 0);
        var evaporated = air.EvaporationFrom(past.Data.Celsius[^1]) * Steps.Seconds;
        var open = true;
        var apart = water.Mean - (l.Tank * rest.Tank);
        for (var i = start; (i - start) * Steps.Seconds < Quantiles.HorizonSeconds && (double.IsInfinity(match) || double.IsInfinity(brim)); i++)
        {
            var seconds = i * Steps.Seconds;
            var openShare = _plan.OpenSeconds(seconds, Steps.Seconds) / Steps.Seconds;
            rest.Step(i, openShare > 0 && !open);
            open = openShare > 0;
            for (var j = 0; j < _prior.DrawOffs.Count; j++)
            {
                if ((int)Math.Round(_prior.DrawOffs[j].AtSeconds / Steps.Seconds) == i)
                {
                    water.Take(l.Drawn[j]);
                }
            }

            var before = water.Litres;
            var tank = l.Tank * rest.Tank;
            var middle = seconds + (0.5 * Steps.Seconds);
            water.Step(l, openShare, rest.FlowLn + (l.TrendPerHour * middle / 3600) + NightLikelihood.EventLn(l, middle), tank, evaporated);
            var next = water.Mean - tank;
            if (double.IsInfinity(match) && Math.Abs(next) <= _prior.ToleranceMicrosiemensPerCm)
            {
                var (was, now) = (Math.Abs(apart) - _prior.ToleranceMicrosiemensPerCm, Math.Abs(next) - _prior.ToleranceMicrosiemensPerCm);
                match = ((i - start) * Steps.Seconds) + (Steps.Seconds * Math.Clamp(was / (was - now), 0, 1));
            }

            if (double.IsInfinity(brim) && water.Litres >= l.MarkLitres)
            {
                brim = ((i - start) * Steps.Seconds) + (Steps.Seconds * Math.Clamp((l.MarkLitres - before) / (water.Litres - before), 0, 1));
            }

            apart = next;
        }

        return (match, double.IsNaN(brim) ? Quantiles.Beyond : brim);
    }

    /// <summary>The paths go on: the flow's wander, walk and small jumps, the tank's wander.</summary>
    private struct Rest(Futures of, Latents l)
    {
        private readonly Chance _chance = of._chance;
        private readonly double _keep = Math.Exp(-Steps.FlowSeconds / l.FlowWanderSeconds);
        private readonly double _slow = Math.Exp(-Steps.TankSeconds / 5400);
        private double _wander = l.FlowWander;
        private double _walk = l.FlowRest;
        private double _from = l.TankFactor[^1];
        private double _to = double.NaN;

        public double FlowLn { get; private set; } = l.FlowWander + l.FlowRest;

        public double Tank { get; private set; } = l.TankFactor[^1];

        public void Step(int step, bool reopens)
        {
            if (step % Steps.PerFlow == 0)
            {
                _wander = (_keep * _wander) + (l.FlowWanderSd * Math.Sqrt(1 - (_keep * _keep)) * _chance.Gauss());
                _walk += l.FlowWalk * Math.Sqrt(Steps.FlowSeconds / 3600) * _chance.Gauss();
                _walk += _chance.Happens(Steps.FlowSeconds / HeavySteps.JumpEverySeconds) ? HeavySteps.JumpSd * _chance.Gauss() : 0;
            }

            _walk += reopens ? l.ReopenSd * _chance.Gauss() : 0;
            FlowLn = _wander + _walk;
            if (step % Steps.PerTank == 0)
            {
                _from = double.IsNaN(_to) ? _from : _to;
                var wander = _from - 1 + l.TankWanderAtStart;
                _to = 1 + (_slow * wander) + (l.TankWanderSd * Math.Sqrt(1 - (_slow * _slow)) * _chance.Gauss()) - l.TankWanderAtStart;
            }

            var part = (step % Steps.PerTank) / (double)Steps.PerTank;
            Tank = double.IsNaN(_to) ? _from : _from + (part * (_to - _from));
        }
    }

    private readonly Chance _chance = chance;
}
