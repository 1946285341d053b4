using Evenwater.Core;
using Evenwater.Core.Telling;

namespace Evenwater.Running;

/// <summary>What a start does not know of the cut before it, turn by turn: until the clock that was set since can tell, or water has run in.</summary>
/// <param name="state">The station's memory.</param>
/// <param name="recorder">Writes the log.</param>
internal sealed class CutTurn(StationState state, Recorder recorder)
{
    private bool _unknown;
    private Func<double?>? _longer;

    /// <summary>The clock can not tell how long the program was away. Before the first turn.</summary>
    /// <param name="longer">How much longer it was than was taken for it, s; null while the clock has not been set.</param>
    public void Unknown(Func<double?> longer) => (_unknown, _longer) = (true, longer);

    /// <summary>What this turn is given.</summary>
    public (bool Unknown, double? Longer) Take(MonotonicTime now)
    {
        if (_unknown)
        {
            _unknown = false;
            return (true, null);
        }

        var longer = state.StoodLonger ? _longer?.Invoke() : null;
        _longer = longer is null && state.StoodLonger ? _longer : null;
        if (longer is { } seconds)
        {
            recorder.Event(Restart.CutKnown, $"The clock was set: the program was away for {TimeWords.Span(seconds)} longer than it had seemed.", state, now);
        }

        return (false, longer);
    }
}
