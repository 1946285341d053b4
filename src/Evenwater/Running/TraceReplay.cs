using Evenwater.Core;
using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Hardware.Trace;

namespace Evenwater.Running;

/// <summary>What a replayed trace came to.</summary>
internal sealed record TraceOutcome(long Rows, long Rejected, IReadOnlyList<RejectedRow> Described, double? ClosedAt, Trip Trip, Phase End);

/// <summary>
/// Feeds a recorded trace through the very same cycle. The trace's own valve is what happened: the program's decision is
/// written down and changes nothing in it.
/// </summary>
internal static class TraceReplay
{
    /// <summary>A trace's high float is level evidence; it trips only when wet for this long, over two rows at least, s.</summary>
    private const double FloatSeconds = 5;

    /// <summary>Replays a whole trace.</summary>
    /// <param name="trace">The trace.</param>
    /// <param name="station">The station; its safety limits hold.</param>
    /// <param name="prior">What was known at its start.</param>
    /// <param name="output">Where each evaluation goes.</param>
    public static TraceOutcome Run(TraceFile trace, Station station, Prior prior, ForecastFile output)
    {
        var state = new StationState(station) { OpenLoop = true };
        var effects = default(EffectBuffer);
        var high = default(Debounce);
        double? closedAt = null;
        var (trip, firstTrip, rows) = (Trip.None, Trip.None, 0L);
        foreach (var row in trace.Rows())
        {
            if (rows++ == 0)
            {
                state.StartOpenLoop(new RunStart(1, prior, Seed: 1), row.At);
            }

            var samples = new Samples { Readings = row.Readings, ValveOpen = row.ValveOpen, LogCommits = true };
            samples.Readings[Channel.FloatLow] = OrNotFitted(row.Readings[Channel.FloatLow]);
            samples.Readings[Channel.FloatHigh] = Debounced(ref high, row.Readings[Channel.FloatHigh]);
            Cycle.Step(state, samples, row.At, ref effects);
            if (state.Phase == Phase.Tripped && closedAt is null)
            {
                (closedAt, firstTrip) = (row.Seconds, state.Trip);
            }

            trip = firstTrip;
            for (var i = 0; i < effects.Count; i++)
            {
                if (effects[i].Kind == EffectKind.Evaluated)
                {
                    output.Write(row.Seconds, state.Forecast, closedAt is null, trip == Trip.None ? null : Words.Of(trip));
                }
            }
        }

        return new TraceOutcome(rows, trace.RejectedCount, trace.Rejected, closedAt, firstTrip, state.Phase);
    }

    /// <summary>A station for a trace that comes with a prior alone: no budgets, no limits, only the forecast and the floats decide.</summary>
    public static Station StationOf(Prior prior) => new()
    {
        Name = "sim-trace",
        Vessel = new Vessel
        {
            StartVolumeLitres = prior.StartVolumeLitres,
            StartVolumeSdLitres = prior.StartVolumeLitres * prior.StartVolumeRelativeSd,
            BrimLitres = prior.BrimLitres,
            BrimSdLitres = prior.BrimLitres * prior.BrimRelativeSd,
            FreeboardLitres = prior.FreeboardLitres,
            Mode = prior.Mode,
            StandpipeLitres = prior.StandpipeLitres,
        },
        Drip = new Drip { FlowMillilitresPerMinute = prior.FlowMillilitresPerMinute, FlowRelativeSd = prior.FlowRelativeSd },
        Match = new Match { ToleranceMicrosiemensPerCm = prior.ToleranceMicrosiemensPerCm, TemperatureToleranceCelsius = 100, DwellMinutes = 0 },
        Source = new Source { VolumeLitres = 1000, MaxDrawLitres = double.MaxValue, SurfaceAreaSquareMetres = 1, IntakeDepthMillimetres = 1 },
        Waters = new Waters { BagMicrosiemensPerCm = 0, BagTemperatureCelsius = 20, TankMicrosiemensPerCm = 0, TankTemperatureCelsius = 20 },
        Sensors = new Sensors
        {
            Source = SensorSource.Simulated,
            VesselConductivity = new ConductivityInput { AdcInput = 0, CellConstantPerCm = 1 },
            VesselThermometer = "",
            ValveLine = 0,
        },
        Safety = new Core.Stations.Safety { MaxOpenMinutes = double.MaxValue, MaxInflowLitres = double.MaxValue },
    };

    /// <summary>A row without a float says nothing of it; it is no fault of the wire.</summary>
    private static Reading OrNotFitted(in Reading reading) => reading.IsGood ? reading : Reading.Missing(Reason.NotFitted, reading.TakenAt);

    private static Reading Debounced(ref Debounce debounce, in Reading reading)
    {
        if (!reading.TryGet(out var wet))
        {
            return OrNotFitted(reading);
        }

        var settled = debounce.Update(RawSample.Of(wet != 0 ? 1 : 0, reading.TakenAt), FloatSeconds);
        return Reading.Of(settled.Reason == Reason.None ? settled.Code : 0, reading.TakenAt);
    }
}
