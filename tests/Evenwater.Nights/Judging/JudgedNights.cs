using Evenwater.Core;
using Evenwater.Hardware.Trace;
using Evenwater.Nights.Plant;
using Evenwater.Nights.Scoring;
using Evenwater.Scoring;

namespace Evenwater.Nights.Judging;

/// <summary>Nights forecast open loop and judged, through the very code that judges a folder of traces.</summary>
internal static class JudgedNights
{
    /// <summary>So many are in memory at once.</summary>
    private const int AtOnce = 20;

    private static readonly Channel[] VolumeSensors = [Channel.Drops, Channel.Mass, Channel.Level];

    /// <summary>Nights of our own making.</summary>
    /// <returns>The nights, and the processor time of forecasting alone.</returns>
    public static (IReadOnlyList<ScoredTrace> Judged, TimeSpan Cost) Made(NightsWanted wanted)
    {
        var all = wanted.Kinds.SelectMany(kind => Enumerable.Range(wanted.First, wanted.Nights).Select(seed => (kind, seed)));
        var judged = new List<ScoredTrace>();
        var cost = TimeSpan.Zero;
        foreach (var some in all.Chunk(AtOnce))
        {
            var nights = some.AsParallel().AsOrdered().Select(n => n.kind.Make(n.seed, wanted.Care)).ToArray();
            var before = Environment.CpuUsage.TotalTime;
            judged.AddRange(nights.AsParallel().AsOrdered().Select(One));
            cost += Environment.CpuUsage.TotalTime - before;
        }

        return (judged, cost);
    }

    /// <summary>One night.</summary>
    public static ScoredTrace One(Night night) => Scorer.One(night.Name, night.Family, TruthOf(night), night.Prior, night.Rows);

    /// <summary>The traces of a folder.</summary>
    /// <param name="folder">The folder.</param>
    /// <param name="plain">Leaves out what drop counter, load cell and level sensor said.</param>
    public static (IReadOnlyList<ScoredTrace> Judged, TimeSpan Cost) Read(string folder, bool plain)
    {
        var before = Environment.CpuUsage.TotalTime;
        var judged = TracePlace.In(folder).AsParallel().AsOrdered().Select(place =>
        {
            var (kind, truth) = place.ReadTruth();
            using var file = TraceFile.Open(place.Data);
            return Scorer.One(place.Name, kind, truth, TracePrior.Read(place.Description), plain ? file.Rows().Select(Plain) : file.Rows());
        }).ToArray();
        return (judged, Environment.CpuUsage.TotalTime - before);
    }

    private static TraceRow Plain(TraceRow row)
    {
        var readings = row.Readings;
        foreach (var channel in VolumeSensors)
        {
            readings[channel] = Reading.Missing(Reason.NotFitted, row.At);
        }

        return row with { Readings = readings };
    }

    private static TraceTruth TruthOf(Night night) => new()
    {
        MatchSeconds = night.MatchSeconds,
        BrimSeconds = night.BrimSeconds,
        SpillSeconds = night.Truth?.SpillSeconds,
        MarkLitres = night.Truth?.MarkLitres,
        BrimLitres = night.Truth?.BrimLitres,
        Events = [.. (night.Truth?.Events ?? []).Select(e => new TruthEvent(e.AtSeconds, e.Kind, e.Probe, e.Factor))],
    };
}
