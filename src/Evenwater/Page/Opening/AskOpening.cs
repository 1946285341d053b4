using Evenwater.Running;

namespace Evenwater.Page.Opening;

/// <summary>What may be asked of a valve by a challenge, as of now.</summary>
public enum Opens
{
    /// <summary>Nothing: it is open, or there is no station.</summary>
    Nothing,

    /// <summary>A run begins with what the station file says.</summary>
    Begin,

    /// <summary>The run that is held goes on.</summary>
    GoOn,

    /// <summary>It has tripped, or an alarm is latched: it may be reset.</summary>
    Reset,
}

/// <summary>What a person has confirmed.</summary>
/// <param name="Verb">open or reset.</param>
/// <param name="Budget">With open: the most that they were shown.</param>
/// <param name="Attended">With open: they said that somebody stays beside it.</param>
internal sealed record Confirmed(string Verb, OpeningBudget Budget, bool Attended)
{
    /// <summary>With open, when a run begins: what they measured for it.</summary>
    public StartMeasured Measured { get; init; } = StartMeasured.Nothing;
}

/// <summary>Does what a person has confirmed on the page, if the station permits it, and answers in a sentence.</summary>
/// <param name="station">The station's name.</param>
/// <param name="confirmed">What.</param>
/// <param name="stop">Cancelled when the program ends.</param>
internal delegate Task<Running.Answer> AskOpening(string station, Confirmed confirmed, CancellationToken stop);

/// <summary>What an opening would permit now; null while the station is not there.</summary>
/// <param name="station">The station's name.</param>
internal delegate OpeningBudget? TellBudget(string station);
