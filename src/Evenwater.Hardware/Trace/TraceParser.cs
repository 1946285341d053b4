using Evenwater.Core;

namespace Evenwater.Hardware.Trace;

/// <summary>A row as it stands in the file.</summary>
/// <param name="Line">Its line.</param>
/// <param name="Seconds">Its time, which may not fit the rows around it.</param>
/// <param name="Readings">What was read.</param>
/// <param name="ValveOpen">Null: the field is empty, and the valve is where it was.</param>
internal readonly record struct WrittenRow(long Line, double Seconds, Readings Readings, bool? ValveOpen);

/// <summary>Reads one line by the header's columns. A line that cannot be read is reported with its column.</summary>
internal sealed class TraceParser(TraceColumn[] columns, RejectedRows rejected)
{
    /// <summary>30 years: keeps the clock from overflowing.</summary>
    private const double MostSeconds = 1e9;

    private readonly Readings _blank = Readings.None();

    /// <summary>The columns that the first line names.</summary>
    /// <exception cref="InvalidDataException">There is no t_s, or a column is named twice.</exception>
    public static TraceColumn[] Header(string? line, string name)
    {
        var columns = Names(line ?? "").Select(TraceColumn.Named).ToArray();
        var twice = columns.Where(c => c.Kind != ColumnKind.Unknown).GroupBy(c => c.Name).FirstOrDefault(g => g.Count() > 1);
        return twice is not null
            ? throw new InvalidDataException($"{name}, line 1: column '{twice.Key}' appears twice; each may appear once")
            : columns.Any(c => c.Kind == ColumnKind.Time)
            ? columns
            : throw new InvalidDataException($"{name}, line 1: no column 't_s'; the first line must name the columns with commas between them, such as t_s,bucket_ec25_uScm");
    }

    private static List<string> Names(string line)
    {
        var cells = new CellReader(line);
        List<string> names = [];
        while (cells.Next(out var name)) names.Add(name.ToString());
        return names;
    }

    /// <summary>Reads a line, or reports it and gives false.</summary>
    public bool TryRead(string line, long number, out WrittenRow written)
    {
        written = default;
        var cells = new CellReader(line);
        Span<double> values = stackalloc double[columns.Length];
        var seconds = 0.0;
        bool? valveOpen = null;
        for (var i = 0; i < columns.Length; i++)
        {
            var column = columns[i];
            if (!cells.Next(out var cell))
            {
                return Reject(number, column.Name, "nothing", $"a field: the header has {columns.Length} columns, this row {i}");
            }

            values[i] = double.NaN;
            if (column.Kind == ColumnKind.Unknown || (cell.IsEmpty && column.Kind != ColumnKind.Time))
            {
                continue;
            }

            if (!CellReader.TryNumber(cell, out values[i]))
            {
                return Reject(number, column.Name, cell, "a finite number or empty");
            }

            if (column.Kind is ColumnKind.Switch or ColumnKind.Valve && values[i] is not (0 or 1))
            {
                return Reject(number, column.Name, cell, "0, 1 or empty");
            }

            if (column.Kind == ColumnKind.Time)
            {
                seconds = values[i];
                if (Math.Abs(seconds) > MostSeconds)
                {
                    return Reject(number, column.Name, cell, "within 1e9 s");
                }
            }
            else if (column.Kind == ColumnKind.Valve)
            {
                valveOpen = values[i] > 0;
            }
        }

        if (cells.Next(out var surplus))
        {
            return Reject(number, "after the last column", surplus, $"expected: the header has {columns.Length} columns");
        }

        written = new WrittenRow(number, seconds, Fill(values, MonotonicTime.FromSeconds(seconds)), valveOpen);
        return true;
    }

    private Readings Fill(ReadOnlySpan<double> values, MonotonicTime at)
    {
        var readings = _blank;
        for (var i = 0; i < columns.Length; i++)
        {
            if (columns[i].Kind is ColumnKind.Number or ColumnKind.Switch)
            {
                readings[columns[i].Channel] = double.IsNaN(values[i])
                    ? Reading.Missing(Reason.NoAnswer, at)
                    : Reading.Of(values[i], at);
            }
        }

        return readings;
    }

    private bool Reject(long line, string column, ReadOnlySpan<char> text, string allowed)
    {
        rejected.Add(line, column, text, allowed);
        return false;
    }
}
