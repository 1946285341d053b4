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

    /// <summary>A row that leaps ahead further than this waits for the next: if that one goes back behind it, the leap was the mistake, s.</summary>
    private const double LeapSeconds = 90;

    private readonly StreamReader _reader;
    private readonly TraceColumn[] _columns;
    private readonly RejectedRows _rejected = new();
    private readonly TraceParser _parser;
    private long _line = 1;
    private double _last = double.NegativeInfinity;
    private bool _valveOpen = true;
    private bool _follows;

    private TraceFile(StreamReader reader, TraceColumn[] columns)
    {
        _reader = reader;
        _columns = columns;
        _parser = new TraceParser(columns, _rejected);
    }

    /// <summary>How many rows were left out so far.</summary>
    public long RejectedCount => _rejected.Count;

    /// <summary>The first of them.</summary>
    public IReadOnlyList<RejectedRow> Rejected => _rejected.Described;

    /// <summary>Columns of the header that mean nothing here and are not read.</summary>
    public IReadOnlyList<string> UnknownColumns => [.. _columns.Where(c => c.Kind == ColumnKind.Unknown && c.Name.Length > 0).Select(c => c.Name).Distinct()];

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
            return new TraceFile(reader, TraceParser.Header(reader.ReadLine(), name));
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
        (WrittenRow Row, bool Follows)? leap = null;
        while (Next() is { } row)
        {
            if (leap is { } held && row.Seconds < held.Row.Seconds && row.Seconds > _last)
            {
                Reject(held.Row, $"before the row that follows it ({row.Seconds} s)");
                leap = null;
            }

            var before = leap?.Row.Seconds ?? _last;
            if (!(row.Seconds > before))
            {
                Reject(row, $"later than the row before ({before} s)");
                continue;
            }

            if (leap is { } believed)
            {
                leap = null;
                yield return Give(believed.Row, believed.Follows);
            }

            var follows = _follows;
            _follows = false;
            if (row.Seconds - Math.Max(_last, 0) > LeapSeconds)
            {
                leap = (row, follows);
            }
            else
            {
                yield return Give(row, follows);
            }
        }

        if (leap is { } final)
        {
            yield return Give(final.Row, final.Follows);
        }
    }

    /// <inheritdoc/>
    public void Dispose() => _reader.Dispose();

    /// <summary>The next row that can be read at all; whether its time fits is seen later.</summary>
    private WrittenRow? Next()
    {
        while (_reader.ReadLine() is { } line)
        {
            _line++;
            if (line.Length > 0)
            {
                if (_parser.TryRead(line, _line, out var row))
                {
                    return row;
                }

                _follows = true;
            }
        }

        return null;
    }

    private void Reject(in WrittenRow row, string allowed)
    {
        _rejected.Add(row.Line, TraceColumn.TimeName, $"{row.Seconds}", allowed);
        _follows = true;
    }

    private TraceRow Give(in WrittenRow row, bool followsRejected)
    {
        _last = row.Seconds;
        _valveOpen = row.ValveOpen ?? _valveOpen;
        var readings = row.Readings;
        if (followsRejected && readings[Channel.Drops].IsGood)
        {
            // Counted since a row that was left out: of how long it tells is not known.
            readings[Channel.Drops] = Reading.Missing(Reason.NoAnswer, readings[Channel.Drops].TakenAt);
        }

        return new TraceRow(row.Seconds, readings, _valveOpen);
    }
}
