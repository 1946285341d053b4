using Evenwater.Core.Estimation;

namespace Evenwater.Scoring;

/// <summary>Which words of a forecast recognise what really happened.</summary>
internal static class EventWords
{
    /// <summary>Each word by itself, in the order of the forecast file.</summary>
    public static IReadOnlyList<ForecastEvents> Each { get; } =
    [
        ForecastEvents.FlowUp, ForecastEvents.FlowDown, ForecastEvents.Leak, ForecastEvents.TankChange,
        ForecastEvents.ProbeVessel, ForecastEvents.ProbeTank, ForecastEvents.Swapped,
    ];

    /// <summary>The words that would recognise an event; none when there is no word for its kind.</summary>
    public static ForecastEvents For(TruthEvent happened)
    {
        var kind = happened.Kind;
        return Is(kind, "swap") ? ForecastEvents.Swapped
            : Is(kind, "leak") ? ForecastEvents.Leak
            : Is(kind, "clog") ? ForecastEvents.FlowDown
            : Is(kind, "surge") ? ForecastEvents.FlowUp
            : Is(kind, "flow") ? Flow(happened.Factor)
            : Is(kind, "probe") ? Probe(happened.Probe ?? (Is(kind, "tank") ? "tank" : null))
            : Is(kind, "tank") ? ForecastEvents.TankChange
            : ForecastEvents.None;
    }

    private static bool Is(string kind, string word) => kind.Contains(word, StringComparison.OrdinalIgnoreCase);

    private static ForecastEvents Flow(double? factor) => factor switch
    {
        > 1 => ForecastEvents.FlowUp,
        < 1 => ForecastEvents.FlowDown,
        _ => ForecastEvents.FlowUp | ForecastEvents.FlowDown,
    };

    /// <summary>The files call the vessel bucket; without a name either probe may be meant.</summary>
    private static ForecastEvents Probe(string? probe) => probe?.FirstOrDefault() switch
    {
        'b' or 'B' or 'v' or 'V' => ForecastEvents.ProbeVessel,
        't' or 'T' => ForecastEvents.ProbeTank,
        _ => ForecastEvents.ProbeVessel | ForecastEvents.ProbeTank,
    };
}
