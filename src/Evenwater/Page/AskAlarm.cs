namespace Evenwater.Page;

/// <summary>What is asked about one alarm from the page.</summary>
/// <param name="Verb">acknowledge or shelve.</param>
/// <param name="Alarm">The alarm's name.</param>
/// <param name="Seconds">With shelve: for how long, s.</param>
/// <param name="Reason">With shelve: why.</param>
public sealed record AlarmAct(string Verb, string Alarm, double Seconds = 0, string? Reason = null);

/// <summary>What came of it.</summary>
/// <param name="Done">Whether it was done.</param>
/// <param name="Text">A sentence.</param>
public sealed record AlarmAnswer(bool Done, string Text);

/// <summary>Does what is asked about an alarm, and answers in a sentence. Changes no trip.</summary>
/// <param name="station">The station's name.</param>
/// <param name="act">What is asked.</param>
/// <param name="stop">Cancelled when the program ends.</param>
public delegate Task<AlarmAnswer> AskAlarm(string station, AlarmAct act, CancellationToken stop);
