namespace Evenwater.Hardware.Trace;

/// <summary>Why a row of a trace was left out.</summary>
/// <param name="Line">Line of the file; the header is 1.</param>
/// <param name="Column">Name of the column.</param>
/// <param name="Text">What stands there.</param>
/// <param name="Allowed">What may stand there.</param>
public readonly record struct RejectedRow(long Line, string Column, string Text, string Allowed)
{
    /// <inheritdoc/>
    public override string ToString() => $"line {Line}, {Column}: '{Text}' is not {Allowed}";
}

/// <summary>The rows left out: all are counted, the first are described.</summary>
internal sealed class RejectedRows
{
    private readonly List<RejectedRow> _described = [];

    public long Count { get; private set; }

    public IReadOnlyList<RejectedRow> Described => _described;

    public void Add(long line, string column, ReadOnlySpan<char> text, string allowed)
    {
        Count++;
        if (_described.Count < TraceFile.MostDescribed)
        {
            _described.Add(new RejectedRow(line, column, text.Length > 40 ? $"{text[..40]}..." : text.ToString(), allowed));
        }
    }
}
