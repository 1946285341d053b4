using System.Text;
using Evenwater.Core;
using Evenwater.Core.Estimation;

namespace Evenwater.Hardware.Trace;

/// <summary>Writes forecasts as CSV, one row per evaluation. The writer it is given stays the caller's.</summary>
public sealed class ForecastFile
{
    /// <summary>The first line.</summary>
    public const string Header =
        "t_s,volume_p05_L,volume_p50_L,volume_p95_L,flow_p05_mLmin,flow_p50_mLmin,flow_p95_mLmin,"
        + "match_p05_s,match_p25_s,match_p50_s,match_p75_s,match_p95_s,brim_p05_s,brim_p25_s,brim_p50_s,brim_p75_s,brim_p95_s,"
        + "p_brim_600s,valve,trip,health,events";

    private readonly TextWriter _writer;
    private readonly StringBuilder _row = new();

    /// <summary>Begins a file by its header.</summary>
    /// <param name="writer">Where it goes.</param>
    public ForecastFile(TextWriter writer)
    {
        ArgumentNullException.ThrowIfNull(writer);
        _writer = writer;
        _writer.Write(Header);
        _writer.Write('\n');
    }

    /// <summary>Appends one evaluation.</summary>
    /// <param name="seconds">The trace's own time, s.</param>
    /// <param name="forecast">The evaluation.</param>
    /// <param name="valveOpen">What the program would command.</param>
    /// <param name="trip">The first reason it closed for safety, or null.</param>
    public void Write(double seconds, in Forecast forecast, bool valveOpen, string? trip)
    {
        _row.Clear();
        Append(seconds, "0.###");
        Few(forecast.VolumeLitres);
        Few(forecast.FlowMillilitresPerMinute);
        Times(forecast.MatchSeconds);
        Times(forecast.BrimSeconds);
        _row.Append(',');
        Append(forecast.BrimProbabilityTenMinutes, "0.######");
        _row.Append(',').Append(valveOpen ? "open" : "closed");
        _row.Append(',').Append(Plain(trip ?? ""));
        _row.Append(',').Append(Describe(forecast));
        _row.Append(',').Append(Events(forecast.Events));
        _row.Append('\n');
        _writer.Write(_row);
    }

    /// <summary>The health in words: ok, or degraded or blind and why.</summary>
    public static string Describe(in Forecast forecast)
    {
        var health = forecast.Health switch { Health.Ok => "ok", Health.Degraded => "degraded", _ => "blind" };
        var vessel = forecast.VesselReason == Reason.None ? "" : $" vessel {Word(forecast.VesselReason)}";
        var tank = forecast.TankReason == Reason.None ? "" : $" tank {Word(forecast.TankReason)}";
        return forecast.Health == Health.Ok ? health : health + vessel + tank;
    }

    /// <summary>The events of one row, separated by |.</summary>
    public static string Events(ForecastEvents events)
    {
        if (events == ForecastEvents.None)
        {
            return "";
        }

        ReadOnlySpan<(ForecastEvents Event, string Word)> words =
        [
            (ForecastEvents.FlowUp, "flow-up"), (ForecastEvents.FlowDown, "flow-down"), (ForecastEvents.Leak, "leak"),
            (ForecastEvents.TankChange, "tank-change"), (ForecastEvents.ProbeVessel, "probe-vessel"),
            (ForecastEvents.ProbeTank, "probe-tank"), (ForecastEvents.Swapped, "swapped"),
        ];
        var text = new StringBuilder();
        foreach (var (one, word) in words)
        {
            if ((events & one) != 0)
            {
                text.Append(text.Length > 0 ? "|" : "").Append(word);
            }
        }

        return text.ToString();
    }

    private static string Word(Reason reason) => reason switch
    {
        Reason.NotFitted => "not-fitted",
        Reason.NoAnswer => "no-answer",
        Reason.OutOfRange => "out-of-range",
        Reason.Stale => "stale",
        Reason.Stuck => "stuck",
        Reason.TooFast => "too-fast",
        Reason.Uncalibrated => "uncalibrated",
        Reason.Disagrees => "disagrees",
        _ => "unknown",
    };

    /// <summary>A trip's reason must not break the row.</summary>
    private static string Plain(string text) => text.Replace(',', ';').Replace('\n', ' ').Replace('\r', ' ');

    private void Few(in Quantiles q)
    {
        Cell(q.P05, "0.####");
        Cell(q.P50, "0.####");
        Cell(q.P95, "0.####");
    }

    private void Times(in Quantiles q)
    {
        Cell(q.P05, "0.#");
        Cell(q.P25, "0.#");
        Cell(q.P50, "0.#");
        Cell(q.P75, "0.#");
        Cell(q.P95, "0.#");
    }

    private void Cell(double value, string format)
    {
        _row.Append(',');
        if (value <= Quantiles.HorizonSeconds)
        {
            Append(value, format);
        }
    }

    private void Append(double value, string format) => _row.Append(value.ToString(format));
}
