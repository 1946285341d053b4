using System.Globalization;

namespace Evenwater.Hardware.Trace;

/// <summary>Walks over the comma-separated cells of one line. Traces hold numbers only, so there is no quoting.</summary>
internal ref struct CellReader
{
    private ReadOnlySpan<char> _rest;
    private bool _done;

    public CellReader(ReadOnlySpan<char> line) => _rest = line;

    public bool Next(out ReadOnlySpan<char> cell)
    {
        cell = default;
        if (_done)
        {
            return false;
        }

        var comma = _rest.IndexOf(',');
        _done = comma < 0;
        cell = (_done ? _rest : _rest[..comma]).Trim();
        _rest = _done ? default : _rest[(comma + 1)..];
        return true;
    }

    /// <summary>A plain finite decimal number; "NaN" and "1e999" are not.</summary>
    public static bool TryNumber(ReadOnlySpan<char> cell, out double value) =>
        double.TryParse(cell, NumberStyles.Float, CultureInfo.InvariantCulture, out value) && double.IsFinite(value);
}
