using Evenwater.Core;
using Evenwater.Core.Planning;
using Evenwater.Core.Stations;
using Evenwater.Running;

namespace Evenwater.Commands;

/// <summary>What measuring before a run buys, as a small table: the late end over early end of the forecast's middle half, half way.</summary>
internal static class WidthText
{
    private const int WhatWidth = 34;
    private const int CellWidth = 12;

    /// <summary>Lines of text for what is known of a run that is to begin; empty when it has no half way.</summary>
    public static IReadOnlyList<string> Of(Station station, StartKnown known)
    {
        var widths = ForecastWidth.Of(station, RunPrior.Of(station, known, Readings.None()));
        if (widths is [])
        {
            return [];
        }

        var lines = new List<string> { $"{"Half way, latest over earliest",-WhatWidth}{"even",CellWidth}{"at its mark",CellWidth}" };
        lines.AddRange(widths.Select(w => $"{Words(w.With),-WhatWidth}{Cell(w.Width.Even),CellWidth}{Cell(w.Width.Mark),CellWidth}"));
        lines.Add(widths.Count == 1
            ? "Half of all times, calculated for this station without noise. Everything a keeper can measure is known well."
            : "Half of all times, calculated for this station without noise; 1.0 would be exact.");
        return lines;
    }

    /// <summary>What it costs to leave the probes unmatched: the first two rows in one sentence; null when there is nothing to match.</summary>
    public static string? CostOfNoMatch(Station station, StartKnown known)
    {
        var widths = ForecastWidth.Of(station, RunPrior.Of(station, known with { ProbesMatched = false, GainRatio = null, GainRatioSd = null }, Readings.None()));
        return widths.FirstOrDefault(w => w.With == Measurement.ProbesInOneCup) is { With: Measurement.ProbesInOneCup, Width: var matched }
            ? $"Without matching, the middle half of the times to even spans {Cell(widths[0].Width.Even)} to 1 half way; with it, {Cell(matched.Even)} to 1."
            : null;
    }

    private static string Cell(double? ratio) => ratio switch
    {
        null => "never",
        double.PositiveInfinity or > 99 => "can't tell",
        { } known => $"{known:0.00}",
    };

    private static string Words(Measurement measurement) => measurement switch
    {
        Measurement.None => "as it is known",
        Measurement.ProbesInOneCup => "both probes in one cup",
        Measurement.StartVolume => $"start volume with a jug ({ForecastWidth.JugSd * 100:0} %)",
        Measurement.Brim => $"brim filled and measured ({ForecastWidth.BrimSd * 100:0} %)",
        Measurement.Flow => $"drip with a timed cup ({ForecastWidth.TimedCupSd * 100:0} %)",
        Measurement.All => "all of these",
        _ => throw new ArgumentOutOfRangeException(nameof(measurement), measurement, "no words for this measurement"),
    };
}
