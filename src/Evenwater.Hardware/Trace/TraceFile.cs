using System.IO.Compression;
using System.Text;
using Evenwater.Core;

namespace Evenwater.Hardware.Trace;

/// <summary>
/// Reads a recorded trace, .csv or .csv.gz. A row that cannot be read is left out and reported with its line and column; the
/// rest is still read. Only a file without a usable header is an error.
/// </summary>
public sealed class TraceFile : IDisposable
{
    /// <summary>Only so many rejected rows are described; all are counted.</summary>
    public const int MostDescribed = 100;

    private readonly StreamReader _reader;
    private readonly TraceColumn[] _columns;
    private readonly Readings _blank;
    private readonly List<RejectedRow> _rejected = [];
    private long _line = 1;

    private TraceFile(StreamReader reader, TraceColumn[] columns)
    {
        _reader = reader;
        _columns = columns;
        _blank = Readings.None();
    }

    /// <summary>How many rows were left out so far.</summary>
    public long RejectedCount { get; private set; }

    /// <summary>The first of them.</summary>
    public IReadOnlyList<RejectedRow> Rejected => _rejected;

    /// <summary>Columns of the header that mean nothing here and are not read.</summary>
    public IReadOnlyList<string> UnknownColumns => [.. _columns.Where(c => c.Kind == ColumnKind.Unknown).Select(c => c.Name)];

    /// <summary>Opens a file and reads its header.</summary>
    /// <exception cref="InvalidDataException">The header is missing, has no t_s, or names a column twice.</exception>
    public static TraceFile Open(string path)
    {
        Stream stream = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read, 1 << 16);
        if (path.EndsWith(".gz", StringComparison.OrdinalIgnoreCase))
        {
            stream = new GZipStream(stream, CompressionMode.Decompress);
        }

        return Open(stream, path);
    }

    /// <summary>Reads a trace from a stream, which is then owned.</summary>
    /// <param name="stream">The text, UTF-8.</param>
    /// <param name="name">What to call it in messages.</param>
    /// <exception cref="InvalidDataException">As <see cref="Open(string)"/>.</exception>
    public static TraceFile Open(Stream stream, string name)
    {
        var reader = new StreamReader(stream, Encoding.UTF8, detectEncodingFromByteOrderMarks: true, 1 << 16);
        try
        {
            return new TraceFile(reader, Header(reader.ReadLine(), name));
        }
        catch
        {
            reader.Dispose();
            throw;
        }
    }

    /// <summary>The rows, once, in order.</summary>
    public IEnumerable<TraceRow> Rows()
    {
        var last = double.NegativeInfinity;
        var valveOpen = true;
        while (_reader.ReadLine() is { } line)
        {
            _line++;
            if (line.Length == 0)
            {
                continue;
            }

            if (TryRead(line, last, valveOpen, out var row))
            {
                last = row.Seconds;
                valveOpen = row.ValveOpen;
                yield return row;
            }
        }
    }

    /// <inheritdoc/>
    public void Dispose() => _reader.Dispose();

    private static TraceColumn[] Header(string? line, string name)
    {
        var columns = (line ?? "").Split(',').Select(c => TraceColumn.Named(c.Trim())).ToArray();
        var twice = columns.GroupBy(c => c.Name).FirstOrDefault(g => g.Count() > 1);
        return twice is not null
            ? throw new InvalidDataException($"{name}, line 1: column '{twice.Key}' appears twice; each may appear once")
            : columns.Any(c => c.Kind == ColumnKind.Time)
            ? columns
            : throw new InvalidDataException($"{name}, line 1: no column 't_s'; the first line must name the columns, such as t_s,bucket_ec25_uScm");
    }

    private bool TryRead(string line, double last, bool valveOpen, out TraceRow row)
    {
        row = default;
        var cells = new CellReader(line);
        Span<double> values = stackalloc double[_columns.Length];
        var seconds = double.NaN;
        for (var i = 0; i < _columns.Length; i++)
        {
            var column = _columns[i];
            if (!cells.Next(out var cell))
            {
                return Reject(column.Name, "nothing", $"a field: the header has {_columns.Length} columns, this row {i}");
            }

            values[i] = double.NaN;
            if (column.Kind == ColumnKind.Unknown || (cell.IsEmpty && column.Kind != ColumnKind.Time))
            {
                continue;
            }

            if (!CellReader.TryNumber(cell, out values[i]))
            {
                return Reject(column.Name, cell, "a finite number or empty");
            }

            if (column.Kind is ColumnKind.Switch or ColumnKind.Valve && values[i] is not (0 or 1))
            {
                return Reject(column.Name, cell, "0, 1 or empty");
            }

            if (column.Kind == ColumnKind.Time)
            {
                seconds = values[i];
                if (!(seconds > last) || Math.Abs(seconds) > 1e9)
                {
                    return Reject(column.Name, cell, $"later than the row before ({last} s) and within 1e9 s");
                }
            }
            else if (column.Kind == ColumnKind.Valve)
            {
                valveOpen = values[i] > 0;
            }
        }

        if (cells.Next(out var surplus))
        {
            return Reject("after the last column", surplus, $"expected: the header has {_columns.Length} columns");
        }

        row = new TraceRow(seconds, Fill(values, MonotonicTime.FromSeconds(seconds)), valveOpen);
        return true;
    }

    private Readings Fill(ReadOnlySpan<double> values, MonotonicTime at)
    {
        var readings = _blank;
        for (var i = 0; i < _columns.Length; i++)
        {
            if (_columns[i].Kind is ColumnKind.Number or ColumnKind.Switch)
            {
                readings[_columns[i].Channel] = double.IsNaN(values[i])
                    ? Reading.Missing(Reason.NoAnswer, at)
                    : Reading.Of(values[i], at);
            }
        }

        return readings;
    }

    private bool Reject(string column, ReadOnlySpan<char> text, string allowed)
    {
        RejectedCount++;
        if (_rejected.Count < MostDescribed)
        {
            _rejected.Add(new RejectedRow(_line, column, text.Length > 40 ? $"{text[..40]}..." : text.ToString(), allowed));
        }

        return false;
    }
}
