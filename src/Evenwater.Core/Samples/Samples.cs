namespace Evenwater.Core;

/// <summary>What a person, or the program itself at a restart, asks of a station.</summary>
public enum Verb : byte
{
    /// <summary>Nothing.</summary>
    None = 0,

    /// <summary>Start a run and open.</summary>
    Begin = 1,

    /// <summary>Close now. Always obeyed.</summary>
    Close = 2,

    /// <summary>Allow opening again after a trip.</summary>
    Reset = 3,

    /// <summary>End the run.</summary>
    Finish = 4,

    /// <summary>The program has just started and has replayed the log up to here.</summary>
    Restarted = 5,

    /// <summary>A person has seen an alarm, or all of them. Changes no trip and opens nothing.</summary>
    Acknowledge = 6,

    /// <summary>A person has taken water out of the vessel.</summary>
    Drawn = 7,

    /// <summary>A person puts an alarm aside for a while. Changes no trip, like all that is about alarms.</summary>
    Shelve = 8,

    /// <summary>A person ends that while.</summary>
    Unshelve = 9,

    /// <summary>A person takes an alarm out of service.</summary>
    Retire = 10,

    /// <summary>A person returns an alarm to service.</summary>
    Return = 11,
}

/// <summary>Water that a person says was taken out of the vessel just now.</summary>
/// <param name="Litres">How much, L, more than 0.</param>
/// <param name="RelativeSd">1-sigma of it, as a fraction, 0 to 1: a jug 0.02, by eye 0.15.</param>
public readonly record struct Drawn(double Litres, double RelativeSd);

/// <summary>Everything one cycle is given: the latest readings and what has happened since the last.</summary>
public struct Samples
{
    /// <summary>The latest reading of every channel, calibrated.</summary>
    public Readings Readings;

    /// <summary>Whether the valve was commanded open when the readings were taken.</summary>
    public bool ValveOpen;

    /// <summary>What was asked since the last cycle.</summary>
    public Verb Command;

    /// <summary>With <see cref="Verb.Begin"/>: what is known about the run.</summary>
    public RunStart? Start;

    /// <summary>With <see cref="Verb.Drawn"/>: how much was taken out.</summary>
    public Drawn Drawn;

    /// <summary>With a verb about alarms: which, and what else is said.</summary>
    public Alarms.AlarmAsk AlarmAsk;

    /// <summary>Set while the run is armed, from when the log has committed the opening that was asked for.</summary>
    public bool OpeningCommitted;

    /// <summary>Whether the log can commit. When it can not, nothing opens and what is open closes.</summary>
    public bool LogCommits;

    /// <summary>Whether the last proof test is longer ago than the station file allows. One that was never done is not overdue: it is missing.</summary>
    public bool ProofOverdue;

    /// <summary>Whether a database refuses what the log sends it, or readings were lost to it or the broker, or it was so within the hour.</summary>
    public bool SendingRefused;

    /// <summary>Whether the weekly test call is to stand now.</summary>
    public bool TestCalls;

    /// <summary>Whether something of the keeper's routine is overdue by the book.</summary>
    public bool RoutineOverdue;

    /// <summary>Whether animals of an arrival are to be looked at and nobody has noted it yet.</summary>
    public bool OutcomeDue;

    /// <summary>Whether the program has just started and the clock can not tell how long it was away.</summary>
    public bool CutUnknown;

    /// <summary>Once, when the clock was set since: how much longer the program was away than was taken for it, s. Else null.</summary>
    public double? CutLonger;

    /// <summary>Whether the station's board can not be opened: then nothing answers.</summary>
    public bool BoardMissing;

    /// <summary>How much is free on the disk that the log is on.</summary>
    public DiskRoom DiskRoom;
}

/// <summary>What is known about one run when it begins.</summary>
/// <param name="RunId">The run's number in the log.</param>
/// <param name="Prior">What the estimator starts from.</param>
/// <param name="Seed">Seed of the run's own generator.</param>
/// <param name="GainRatio">The vessel's probe over the tank's in one cup; 1 when they were not matched. The tank's readings of the run are multiplied by it.</param>
/// <param name="Unpaced">The valve stays open while it drips, also at a station with pacing: a proof test, or by the keeper's wish.</param>
public sealed record RunStart(long RunId, Estimation.Prior Prior, ulong Seed, double GainRatio = 1, bool Unpaced = false)
{
    /// <summary>The animals in the vessel, as far as the keeper told them; null when they were not told.</summary>
    public Animals? Animals { get; init; }

    /// <summary>True when a proof test opens the valve over a cup: no animals wait for this water. Null otherwise.</summary>
    public bool? ProofTest { get; init; }
}

/// <summary>The animals of a run.</summary>
/// <param name="Count">How many, 1 to 100 000.</param>
/// <param name="Grams">All of them together, g; null when nobody weighed or judged them.</param>
/// <param name="Arrival">The note of the keeper's book that tells of them, or null.</param>
public sealed record Animals(int Count, double? Grams = null, string? Arrival = null);
