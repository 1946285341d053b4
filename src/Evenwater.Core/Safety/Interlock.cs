namespace Evenwater.Core.Safety;

/// <summary>What the interlock is told in one cycle.</summary>
public readonly record struct Facts
{
    /// <summary>The first cause that asks for a trip now, or none.</summary>
    public Trip Cause { get; init; }

    /// <summary>Whether every cause that a person must remove (wet, leaking, unreadable, log) is gone.</summary>
    public bool Clear { get; init; }

    /// <summary>Whether an alarm stands that stays until a person resets it.</summary>
    public bool Latched { get; init; }

    /// <summary>Whether every fitted probe and switch has a good, recent reading.</summary>
    public bool Fresh { get; init; }

    /// <summary>Whether the log can commit.</summary>
    public bool LogCommits { get; init; }

    /// <summary>Whether the log has committed the opening that was asked for.</summary>
    public bool OpeningCommitted { get; init; }

    /// <summary>Whether vessel and tank have been even for the dwell time and the plan closes then.</summary>
    public bool Even { get; init; }

    /// <summary>Whether they have been so at any time in this run.</summary>
    public bool WasEven { get; init; }

    /// <summary>Whether a start was given, or a run is there to go on with.</summary>
    public bool HasRun { get; init; }

    /// <summary>Whether nothing is known of any run: a trip then has none to hold.</summary>
    public bool Runless { get; init; }

    /// <summary>Whether the run there is is a proof test's, which is done without animals.</summary>
    public bool ProofTest { get; init; }

    /// <summary>Whether the run there is has used up its room, its time or its water.</summary>
    public bool Spent { get; init; }

    /// <summary>Whether the station file lets an untripped run go on after a restart.</summary>
    public bool MayResume { get; init; }

    /// <summary>Whether the run has waited too long for its opening.</summary>
    public bool WaitedTooLong { get; init; }

    /// <summary>What was asked.</summary>
    public Verb Command { get; init; }
}

/// <summary>The one table that decides whether a valve may be open. Read it from the top; the last arm is the safe one.</summary>
public static class Interlock
{
    /// <summary>The next phase.</summary>
    public static Phase Next(Phase phase, in Facts facts) => (phase, facts) switch
    {
        // A trip beats every command, in every phase of a run.
        (Phase.Armed or Phase.Dripping or Phase.Holding, { Cause: not Trip.None }) => Phase.Tripped,

        // A trip latches. Reset is a person's act, only when the cause is clear, and it opens nothing. The run goes on holding:
        // its animals and its water are still in the vessel, and what is known of its volume must not be forgotten. Where nothing is known
        // of a run there is none to go on with: what opens next begins anew, with a forecast and a budget. A proof test's has no animals and a cup for a vessel.
        (Phase.Tripped, { Command: Verb.Reset, Clear: true, Fresh: true, Runless: true }) => Phase.Idle,
        (Phase.Tripped, { Command: Verb.Reset, Clear: true, Fresh: true, ProofTest: true }) => Phase.Abandoned,
        (Phase.Tripped, { Command: Verb.Reset, Clear: true, Fresh: true }) => Phase.Holding,
        (Phase.Tripped, _) => Phase.Tripped,

        // A restart closes. It goes on only if so configured, through the same door as a first opening.
        (Phase.Armed or Phase.Dripping, { Command: Verb.Restarted, MayResume: true, LogCommits: true, Spent: false, Latched: false }) => Phase.Armed,
        (Phase.Armed or Phase.Dripping, { Command: Verb.Restarted }) => Phase.Holding,

        // Closing and ending need no permission.
        (Phase.Armed or Phase.Dripping, { Command: Verb.Close }) => Phase.Holding,
        (Phase.Armed or Phase.Dripping or Phase.Holding, { Command: Verb.Finish, WasEven: true }) => Phase.Finished,
        (Phase.Armed or Phase.Dripping or Phase.Holding, { Command: Verb.Finish }) => Phase.Abandoned,

        // Opening: asked for, then committed, with a fresh look at every probe each time. What is latched waits for its reset, with a run or without.
        (Phase.Idle or Phase.Finished or Phase.Abandoned or Phase.Holding,
            { Command: Verb.Begin, Cause: Trip.None, Clear: true, Latched: false, Fresh: true, LogCommits: true, HasRun: true, Spent: false }) => Phase.Armed,
        (Phase.Armed, { Latched: true }) => Phase.Holding, // seen since it was asked for
        (Phase.Armed, { OpeningCommitted: true, Clear: true, Fresh: true, LogCommits: true }) => Phase.Dripping,
        (Phase.Armed, { WaitedTooLong: true }) => Phase.Holding,
        (Phase.Armed, _) => Phase.Armed,

        // The planned close.
        (Phase.Dripping, { Even: true }) => Phase.Holding,
        (Phase.Dripping, { LogCommits: true }) => Phase.Dripping,

        (Phase.Idle or Phase.Holding or Phase.Finished or Phase.Abandoned, _) => phase,

        _ => Phase.Tripped,
    };
}
