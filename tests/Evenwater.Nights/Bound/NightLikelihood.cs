using Evenwater.Core.Estimation;
using Evenwater.Nights.Plant;

namespace Evenwater.Nights.Bound;

/// <summary>How likely the plant would have shown what was measured, had it drawn these numbers.</summary>
internal sealed class NightLikelihood
{
    private readonly Prior _prior;
    private readonly NightData _data;
    private readonly NightLaw _law;
    private readonly double[] _open;
    private readonly double[] _litres;
    private readonly double[] _vesselLn;
    private readonly double[] _tankLn;
    private readonly double[] _mean;
    private readonly double[] _shown;
    private readonly int[] _drawStep;

    public NightLikelihood(string kind, Prior prior, NightData data)
    {
        (_prior, _data) = (prior, data);
        _law = new NightLaw(kind, prior, First(data.Vessel), First(data.Tank), data.StepCount * Steps.Seconds);
        var plan = new ValvePlan(prior.ValveCommands);
        _open = [.. Enumerable.Range(0, data.StepCount).Select(i => plan.OpenSeconds(i * Steps.Seconds, Steps.Seconds) / Steps.Seconds)];
        _litres = new double[data.StepCount + 1];
        var blocks = data.Vessel.Mean.Length;
        (_vesselLn, _tankLn, _mean, _shown) = (new double[blocks], new double[blocks], new double[data.StepCount + 1], new double[data.Mass.Mean.Length]);
        _drawStep = [.. prior.DrawOffs.Select(d => (int)Math.Round(d.AtSeconds / Steps.Seconds))];
        Latents = _law.Room();
    }

    public NightLaw Law => _law;

    public NightData Data => _data;

    public Prior Prior => _prior;

    /// <summary>The latents of the latest numbers looked at.</summary>
    public Latents Latents { get; }

    /// <summary>The water at the moment, of the same.</summary>
    public MixedWater Water { get; private set; }

    /// <summary>Whether it was even, or at its mark, by then.</summary>
    public (bool Even, bool AtMark) Reached { get; private set; }

    /// <summary>How many surprises there are.</summary>
    public int Residuals => (4 * _data.Vessel.Mean.Length) + 2;

    /// <summary>-ln likelihood, less a constant.</summary>
    /// <param name="u">Independent standard normal numbers.</param>
    /// <param name="zone">Where the probe hangs.</param>
    /// <param name="surprises">Filled with the surprises, if there is room.</param>
    public double Unlikely(ReadOnlySpan<double> u, int zone, Span<double> surprises = default)
    {
        _law.Map(u, zone, Latents);
        Live();
        var (l, p, n) = (Latents, _prior, _vesselLn.Length);
        var gainSd = p.GainRatioRelativeSd / Math.Sqrt(2);
        var sum = Probe(_data.Vessel, _vesselLn, new SlowError(l.VesselProbe.WanderSd, l.VesselProbe.WanderSeconds, l.VesselProbe.WalkSdPerRootHour, gainSd, Steps.BlockSeconds), surprises, 0)
            + Probe(_data.Tank, _tankLn, new SlowError(l.TankProbe.WanderSd, l.TankProbe.WanderSeconds, l.TankProbe.WalkSdPerRootHour, gainSd, Steps.BlockSeconds), surprises, n);
        if (HasVolume(_data.Mass))
        {
            for (var i = 0; i < _shown.Length; i++)
            {
                var at = (i + 1) * Steps.PerFlow;
                _shown[i] = _litres[at] * (0.997 + (0.026 * _mean[at] / 53_000)) * l.CellGain; // as Instruments weighs it
            }

            sum += Probe(_data.Mass, _shown, new SlowError(l.CellCreep, 4 * 3600, 0, p.LoadCellTareSdKilograms, Steps.FlowSeconds), surprises, 2 * n);
        }

        if (HasVolume(_data.Level))
        {
            for (var i = 0; i < _shown.Length; i++)
            {
                _shown[i] = _litres[(i + 1) * Steps.PerFlow] / (p.VesselAreaSquareMetres ?? 0.04) * l.LevelGain;
            }

            sum += Probe(_data.Level, _shown, new SlowError(l.LevelCreep, 4 * 3600, 0, p.LevelOffsetSdMillimetres, Steps.FlowSeconds), surprises, 3 * n);
        }

        return sum + Float(p.FloatLowLitres, _data.LowSeconds, l.LowStickLitres, surprises, 4 * n) + Float(p.FloatHighLitres, _data.HighSeconds, l.HighStickLitres, surprises, (4 * n) + 1);
    }

    private static bool HasVolume(NightData.Blocks read) => read.Mean.Length > 0 && !double.IsNaN(read.Mean[0]);

    private static double First(NightData.Blocks blocks) => blocks.Mean.FirstOrDefault(x => !double.IsNaN(x), Math.Log(1000));

    private static double Probe(NightData.Blocks read, ReadOnlySpan<double> expected, SlowError error, Span<double> surprises, int at)
    {
        for (var i = 0; i < expected.Length; i++)
        {
            var surprise = error.Next(read.Mean[i] - expected[i], read.Noise[i]);
            if (!surprises.IsEmpty)
            {
                surprises[at + i] = surprise;
            }
        }

        return error.Unlikely;
    }

    /// <summary>Lets the night happen until now.</summary>
    private void Live()
    {
        var l = Latents;
        var water = new MixedWater(l, _open.Length == 0 || _open[0] > 0);
        var air = new Air(l.RoomCelsius, l.Humidity, l.SurfaceSquareMetres, 0);
        var (even, atMark, evaporated) = (false, false, 0.0);
        _litres[0] = water.Litres;
        for (var i = 0; i < _open.Length; i++)
        {
            if (i % Steps.PerFlow == 0)
            {
                evaporated = air.EvaporationFrom(_data.Celsius[i / Steps.PerFlow]) * Steps.Seconds;
            }

            for (var j = 0; j < _drawStep.Length; j++)
            {
                if (_drawStep[j] == i)
                {
                    water.Take(l.Drawn[j]);
                }
            }

            var felt = water.Felt;
            var hours = (i + 0.5) * Steps.Seconds / 3600;
            var tank = TankAt(l, i + 0.5);
            water.Step(l, _open[i], l.FlowLn[i / Steps.PerFlow] + (l.TrendPerHour * hours) + EventLn(l, hours * 3600), tank, evaporated);
            even |= Math.Abs(water.Mean - tank) <= _prior.ToleranceMicrosiemensPerCm;
            atMark |= water.Litres >= l.MarkLitres;
            (_litres[i + 1], _mean[i + 1]) = (water.Litres, water.Mean);
            if (i / Steps.PerBlock is var block && block < _vesselLn.Length)
            {
                Note(block, i % Steps.PerBlock == 0, 0.5 * (felt + water.Felt), tank);
            }
        }

        Water = water;
        Reached = (even, atMark);
    }

    private void Note(int block, bool first, double felt, double tank)
    {
        const double share = 1.0 / Steps.PerBlock;
        var keep = first ? 0 : 1;
        _vesselLn[block] = (keep * _vesselLn[block]) + (share * Math.Log(felt));
        _tankLn[block] = (keep * _tankLn[block]) + (share * Math.Log(tank));
    }

    internal static double TankAt(Latents l, double steps)
    {
        var knot = (int)(steps / Steps.PerTank);
        var part = (steps / Steps.PerTank) - knot;
        return l.Tank * ((l.TankFactor[knot] * (1 - part)) + (l.TankFactor[Math.Min(knot + 1, l.TankFactor.Length - 1)] * part));
    }

    internal static double EventLn(Latents l, double seconds) =>
        l.EventLn == 0 ? 0 : l.EventLn * Inflow.Share(seconds - l.EventSeconds, l.EventOverSeconds);

    /// <summary>
    /// A float told wet for the first time: waves throw it over when the water is still 1.2 of their sd below (the first of some twenty rows within one sd of
    /// them), give or take half.
    /// </summary>
    private double Float(double? litres, double? wetSeconds, double stick, Span<double> surprises, int at)
    {
        if (litres is not { } place)
        {
            return 0;
        }

        var waves = Latents.WaveLitres;
        var sd = Math.Sqrt((_prior.FloatSdLitres * _prior.FloatSdLitres) + (0.25 * waves * waves));
        var turns = place + stick - (1.2 * waves);
        var surprise = 0.0;
        double unlikely;
        if (wetSeconds < 0.5 * Steps.Seconds)
        {
            unlikely = -Math.Log(Math.Max(Normal.Cumulative((_litres[0] - turns) / sd), 1e-300)); // wet from the start
        }
        else if (wetSeconds is { } wet)
        {
            var step = (int)(wet / Steps.Seconds);
            var rise = _litres[Math.Min(step + 1, _litres.Length - 1)] - _litres[step];
            surprise = (_litres[step] + (((wet / Steps.Seconds) - step) * rise) - turns) / sd;
            unlikely = (0.5 * surprise * surprise) + Math.Log(sd) - Math.Log(Math.Max(rise, 0.01 * waves)); // a time was read, not a volume
        }
        else
        {
            var most = 0.0;
            foreach (var now in _litres)
            {
                most = Math.Max(most, now);
            }

            var z = (turns - most) / sd;
            unlikely = -Math.Log(Math.Max(Normal.Cumulative(z), 1e-300));
            surprise = z < 0 ? Math.Sqrt(2 * unlikely) : 0;
        }

        if (!surprises.IsEmpty)
        {
            surprises[at] = surprise;
        }

        return unlikely;
    }
}
