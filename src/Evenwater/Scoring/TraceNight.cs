using Evenwater.Core;
using Evenwater.Core.Estimation;
using Evenwater.Hardware.Trace;
using Evenwater.Running;

namespace Evenwater.Scoring;

/// <summary>One measured moment of a trace, for a picture.</summary>
internal readonly record struct MeasuredRow(double Seconds, double? Vessel, double? Tank, bool ValveOpen);

/// <summary>All there is to draw of one trace: what was measured, what was forecast, what was true.</summary>
internal sealed record TraceNight(
    string Name, string Kind, Prior Prior, TraceTruth? Truth, IReadOnlyList<MeasuredRow> Measured,
    IReadOnlyList<Evaluation> Evaluations, TraceDecision Decision, IReadOnlyList<TruthRow> TrueRows)
{
    /// <summary>The last moment of the trace, s.</summary>
    public double EndSeconds => Measured[^1].Seconds;

    /// <summary>Forecasts a trace and keeps everything.</summary>
    /// <exception cref="InvalidDataException">The trace holds no row that can be read, or its description is wrong.</exception>
    public static TraceNight Read(TracePlace place)
    {
        var (kind, truth) = place.ReadTruth();
        var prior = TracePrior.Read(place.Description);
        var evaluations = new List<Evaluation>();
        TraceDecision decision;
        using (var trace = TraceFile.Open(place.Data))
        {
            decision = TraceReplay.Run(trace, TraceStation.Of(prior), prior, evaluations.Add).Decision;
        }

        using var again = TraceFile.Open(place.Data);
        var measured = again.Rows().Select(r => new MeasuredRow(
            r.Seconds, Value(r.Readings[Channel.VesselConductivity]), Value(r.Readings[Channel.TankConductivity]), r.ValveOpen)).ToArray();
        return measured.Length == 0
            ? throw new InvalidDataException($"{place.Data}: no row that can be read")
            : new TraceNight(place.Name, kind, prior, truth, measured, evaluations, decision, place.Truth is null ? [] : TruthFile.Read(place.Truth));
    }

    private static double? Value(in Reading reading) => reading.TryGet(out var value) ? value : null;
}
