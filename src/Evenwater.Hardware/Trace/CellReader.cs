using System.Globalization;

namespace Evenwater.Hardware.Trace;

/// <summary>Walks over the comma-separated cells of one line. Traces hold numbers only: quotes around a cell (RFC 4180) are taken off, and none holds a comma.</summary>
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
        cell = Bare(_done ? _rest : _rest[..comma]);
        _rest = _done ? default : _rest[(comma + 1)..];
        return true;
    }

    private static ReadOnlySpan<char> Bare(ReadOnlySpan<char> cell)
    {
        cell = cell.Trim();
        return cell is ['"', .. var inner, '"'] ? inner.Trim() : cell;
    }

    /// <summary>A plain finite decimal number; "NaN" and "1e999" are not.</summary>
    public static bool TryNumber(ReadOnlySpan<char> cell, out double value) =>
        double.TryParse(cell, NumberStyles.Float, CultureInfo.InvariantCulture, out value) && double.IsFinite(value);
}
