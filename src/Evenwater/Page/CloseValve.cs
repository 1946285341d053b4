namespace Evenwater.Page;

/// <summary>Closes a station's valve. Needs no permission, may be repeated, answers in a sentence.</summary>
/// <param name="station">The station's name.</param>
/// <param name="by">Who asked.</param>
/// <param name="stop">Cancelled when the program ends.</param>
internal delegate Task<Running.Answer> CloseValve(string station, string by, CancellationToken stop);

/// <summary>A person has read the cautions: they are not shown for this station again.</summary>
/// <param name="station">The station's name.</param>
public delegate void DismissCautions(string station);
