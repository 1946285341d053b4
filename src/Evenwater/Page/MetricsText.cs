using System.Globalization;
using System.Text;

namespace Evenwater.Page;

/// <summary>Gives the text of /metrics.</summary>
internal delegate string TellMetrics();

/// <summary>
/// The text of OpenMetrics 1.0 (its section "Text Format"): a family's TYPE, UNIT and HELP, then all its samples together, and # EOF last. A family
/// without a sample is left out: what is not known is absent, never 0 and never NaN.
/// </summary>
internal sealed class MetricsText
{
    /// <summary>OpenMetrics 1.0, section "Media Type".</summary>
    public const string MediaType = "application/openmetrics-text; version=1.0.0; charset=utf-8";

    private readonly StringBuilder _text = new();

    /// <summary>A value that goes up and down.</summary>
    public void Gauge(string name, string? unit, string help, IEnumerable<(string Labels, double? Value)> samples) => Family(name, "gauge", unit, help, "", samples);

    /// <summary>A value that only goes up.</summary>
    public void Counter(string name, string? unit, string help, IEnumerable<(string Labels, double? Value)> samples) => Family(name, "counter", unit, help, "_total", samples);

    /// <summary>What does not change while the program runs: its value is 1.</summary>
    public void Info(string name, string help, IEnumerable<string> labels) => Family(name, "info", null, help, "_info", labels.Select(l => (l, (double?)1)));

    /// <summary>One of several states: each has a sample, 1 for that which is. The label has the family's name.</summary>
    public void StateSet(string name, string help, IReadOnlyList<string> states, IEnumerable<(string Labels, string State)> samples) => Family(
        name, "stateset", null, help, "",
        samples.SelectMany(s => states.Select(state => ($"{s.Labels},{Label(name, state)}", (double?)(state == s.State ? 1 : 0)))));

    /// <summary>A label as it stands in a sample; backslash, quote and line end are escaped.</summary>
    public static string Label(string name, string value) =>
        $"{name}=\"{value.Replace("\\", "\\\\", StringComparison.Ordinal).Replace("\"", "\\\"", StringComparison.Ordinal).Replace("\n", "\\n", StringComparison.Ordinal)}\"";

    /// <summary>All of it, ended.</summary>
    public override string ToString() => $"{_text}# EOF\n";

    private void Family(string name, string type, string? unit, string help, string suffix, IEnumerable<(string Labels, double? Value)> samples)
    {
        var known = samples.Where(s => s.Value is { } value && double.IsFinite(value)).ToList();
        if (known.Count == 0)
        {
            return;
        }

        var family = unit is null ? name : $"{name}_{unit}";
        _text.Append(CultureInfo.InvariantCulture, $"# TYPE {family} {type}\n");
        if (unit is not null)
        {
            _text.Append(CultureInfo.InvariantCulture, $"# UNIT {family} {unit}\n");
        }

        _text.Append(CultureInfo.InvariantCulture, $"# HELP {family} {help}\n");
        foreach (var (labels, value) in known)
        {
            _text.Append(CultureInfo.InvariantCulture, $"{family}{suffix}{(labels.Length == 0 ? "" : $"{{{labels}}}")} {value!.Value}\n");
        }
    }
}
