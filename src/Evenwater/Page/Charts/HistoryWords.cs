using Evenwater.Core.Charting;
using Evenwater.Core.Telling;

namespace Evenwater.Page.Charts;

/// <summary>Times, lengths and figures of the history in words.</summary>
/// <param name="Ask">What was asked for: its place and its now.</param>
public sealed record HistoryWords(HistoryAsk Ask)
{
    /// <summary>A time of the place; with its year when that, or the year in which the span begins, is not this one, and with its offset where clocks were put back and it came twice.</summary>
    public string When(DateTimeOffset at)
    {
        var here = TimeZoneInfo.ConvertTime(at, Ask.Zone);
        var year = Year(Ask.Now);
        return here.ToString(here.Year == year && Year(Ask.From) == year ? "ddd d MMM HH:mm" : "ddd d MMM yyyy HH:mm") + (Ask.Zone.IsAmbiguousTime(here) ? here.ToString("zzz") : "");
    }

    private int Year(DateTimeOffset at) => TimeZoneInfo.ConvertTime(at, Ask.Zone).Year;

    /// <summary>As a field for a date and a time holds it.</summary>
    public string Local(DateTimeOffset at)
    {
        var here = TimeZoneInfo.ConvertTime(at, Ask.Zone);
        return here.ToString(here.Second == 0 ? "yyyy-MM-dd'T'HH:mm" : "yyyy-MM-dd'T'HH:mm:ss");
    }

    /// <summary>A length of time in the unit that suits it.</summary>
    public static string Length(TimeSpan length) => length.TotalSeconds switch
    {
        < 100 => $"{length.TotalSeconds:0.#} s",
        < 100 * 60 => $"{length.TotalMinutes:0.#} min",
        < 48 * 3600 => $"{length.TotalHours:0.#} h",
        _ => $"{length.TotalDays:0.#} days",
    };

    /// <summary>How fast, with its range; an hour of a day or two, a day of more.</summary>
    public string Slope(Trend? trend)
    {
        if (trend is not { } slope) return "can't tell from this span";
        var (times, unit) = (Ask.To - Ask.From).TotalDays <= 2 ? (1, "an hour") : (24, "a day");
        // Two digits of the largest of them.
        var largest = times * Math.Max(Math.Abs(slope.P05), Math.Abs(slope.P95));
        var digits = largest > 0 ? Math.Clamp(1 - (int)Math.Floor(Math.Log10(largest)), 0, 9) : 0;
        var range = $"{Signed(slope.P05 * times, digits)} to {Signed(slope.P95 * times, digits)}";
        return slope.Tells ? $"{Signed(slope.P50 * times, digits)} {unit} ({range})" : $"can't tell: {range} {unit}";
    }

    /// <summary>What is missing of a line.</summary>
    public static string Gaps(LineSummary summary) => summary.Gaps switch
    {
        0 => "none",
        1 => $"1, {Length(summary.Missing)}",
        var many => $"{many}, together {Length(summary.Missing)}",
    };

    /// <summary>What the stretches were made of.</summary>
    public static string Source(HistoryData data) => data.Source switch
    {
        "raw" => "the readings themselves",
        "Minute" => "minutes",
        "QuarterHour" => "quarters of an hour",
        _ => "days",
    };

    private static string Signed(double value, int digits)
    {
        var text = Math.Abs(value).ToString(DigitsForm.Of(digits));
        return text.Trim('0', '.').Length == 0 ? "0" : value < 0 ? $"-{text}" : $"+{text}";
    }
}
