namespace Evenwater.Watch;

/// <summary>
/// What a unit and its drop-ins say together, as 'systemctl cat' prints them: a later line wins, lists add up, and an empty value takes back all before it
/// (systemd.syntax(7), systemd.unit(5)).
/// </summary>
internal sealed class UnitText
{
    private readonly Dictionary<string, List<string>> _values = new(StringComparer.Ordinal);

    /// <summary>Reads it.</summary>
    public static UnitText Parse(string text)
    {
        var unit = new UnitText();
        foreach (var line in text.Replace("\\\n", " ", StringComparison.Ordinal).Split('\n').Select(l => l.Trim()))
        {
            var equals = line.IndexOf('=', StringComparison.Ordinal);
            if (equals <= 0 || line[0] is '#' or ';' or '[')
            {
                continue;
            }

            var (key, value) = (line[..equals].TrimEnd(), line[(equals + 1)..].TrimStart());
            if (!unit._values.TryGetValue(key, out var all))
            {
                unit._values[key] = all = [];
            }

            if (value.Length == 0)
            {
                all.Clear();
            }
            else
            {
                all.Add(value);
            }
        }

        return unit;
    }

    /// <summary>The value that counts; empty when there is none.</summary>
    public string this[string key] => _values.TryGetValue(key, out var all) && all.Count > 0 ? all[^1] : "";

    /// <summary>All values of a list.</summary>
    public IReadOnlyList<string> All(string key) => _values.TryGetValue(key, out var all) ? all : [];

    /// <summary>All words of all values of a list.</summary>
    public IEnumerable<string> Words(string key) => All(key).SelectMany(v => v.Split(' ', StringSplitOptions.RemoveEmptyEntries));

    /// <summary>A whole number; null when it is absent or something else.</summary>
    public int? Number(string key) => int.TryParse(this[key], System.Globalization.CultureInfo.InvariantCulture, out var number) ? number : null;

    /// <summary>A time span in seconds; null when it is absent or not a plain number with at most one unit, and 0 for infinity: both switch a limit off.</summary>
    public double? Seconds(string key)
    {
        var text = this[key];
        if (text == "infinity")
        {
            return 0;
        }

        foreach (var (suffix, seconds) in new[] { ("min", 60.0), ("ms", 0.001), ("us", 0.000001), ("sec", 1), ("m", 60), ("s", 1), ("", 1) })
        {
            if (text.EndsWith(suffix, StringComparison.Ordinal) && double.TryParse(text[..^suffix.Length], out var number))
            {
                return number * seconds;
            }
        }

        return null;
    }
}
