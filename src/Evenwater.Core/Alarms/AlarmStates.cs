using System.Runtime.CompilerServices;

namespace Evenwater.Core.Alarms;

/// <summary>All that is remembered of one alarm.</summary>
public struct AlarmState
{
    /// <summary>Where it stands.</summary>
    public AlarmStanding Standing;

    /// <summary>Whether its condition is true, after its delays.</summary>
    public bool Active;

    /// <summary>Whether the condition differs from <see cref="Active"/>, and a delay runs.</summary>
    public bool Changing;

    /// <summary>Since when it does, later by as long as it could not be told meanwhile.</summary>
    public MonotonicTime ChangingSince;

    /// <summary>Whether the condition could not be told in the last cycle.</summary>
    public bool Untold;

    /// <summary>Since when it can not be told.</summary>
    public MonotonicTime UntoldSince;

    /// <summary>When the condition last became true: what is to be done in time counts from here.</summary>
    public MonotonicTime ActiveSince;

    /// <summary>When the standing last changed.</summary>
    public MonotonicTime StandingSince;

    /// <summary>When a person was last called.</summary>
    public MonotonicTime CalledAt;

    /// <summary>How often it has called since a person last said that they have seen it, or since it came.</summary>
    public int UnseenCalls;

    /// <summary>Of an alarm that several probes may raise: those that it has called for, one bit for each channel.</summary>
    public ushort CalledFor;

    /// <summary>Whether a further one is not believed, and the delay runs.</summary>
    public bool FurtherChanging;

    /// <summary>Since when it is.</summary>
    public MonotonicTime FurtherSince;

    /// <summary>While shelved: until when.</summary>
    public MonotonicTime ShelvedUntil;

    /// <summary>While shelved or out of service: why, in the person's words.</summary>
    public string? Why;

    /// <summary>Whether a critical alarm has called in vain so often that somebody else must be called.</summary>
    public readonly bool IsEscalated(Alarm row) =>
        row.Priority == Priority.Critical && Standing == AlarmStanding.Unacknowledged && UnseenCalls >= AlarmRound.EscalatingCall;

    /// <summary>Whether it is to be told as standing: wrong, or latched.</summary>
    public readonly bool Stands => Standing is AlarmStanding.Unacknowledged or AlarmStanding.Acknowledged
        or AlarmStanding.LatchedUnacknowledged or AlarmStanding.LatchedAcknowledged;

    /// <summary>Whether it has called, and nobody has said that they have seen it.</summary>
    public readonly bool IsUnseen => Standing is AlarmStanding.Unacknowledged or AlarmStanding.ReturnedUnacknowledged or AlarmStanding.LatchedUnacknowledged;

    /// <summary>
    /// Takes the condition and gives what has settled. What can not be told counts neither as come nor as gone: the delay of an alarm that is coming stands still
    /// meanwhile, or a thermometer that fails now and then would put it off for ever; one that is going begins anew.
    /// </summary>
    /// <param name="condition">Whether it is true now; null when it can not be told.</param>
    /// <param name="row">The delays.</param>
    /// <param name="now">The cycle's time.</param>
    /// <param name="hurried">A person has reset, or what it tells of is over: what is gone is gone at once.</param>
    internal AlarmEvent? Settle(bool? condition, Alarm row, MonotonicTime now, bool hurried)
    {
        if (condition is not { } isTrue)
        {
            Changing &= !Active;
            (Untold, UntoldSince) = (true, Untold ? UntoldSince : now);
            return null;
        }

        var untoldSeconds = Untold ? now.SecondsSince(UntoldSince) : 0;
        Untold = false;
        if (isTrue == Active)
        {
            Changing = false;
            return null;
        }

        ChangingSince = Changing ? ChangingSince.Plus(untoldSeconds) : now;
        Changing = true;

        var delaySeconds = isTrue ? row.OnDelaySeconds : hurried ? 0 : row.OffDelaySeconds;
        if (now.SecondsSince(ChangingSince) < delaySeconds)
        {
            return null;
        }

        Changing = false;
        Active = isTrue;
        if (isTrue)
        {
            ActiveSince = now;
        }

        return isTrue ? AlarmEvent.Came : AlarmEvent.Went;
    }

    /// <summary>Another probe that is not believed is another fault, which the first call did not tell of: it calls once more, after the same delay.</summary>
    /// <param name="troubled">Those that are not believed now.</param>
    /// <param name="row">The delay.</param>
    /// <param name="now">The cycle's time.</param>
    internal bool CallsForFurther(ushort troubled, Alarm row, MonotonicTime now)
    {
        // Those of the first call, or of an alarm that a restart took over: already told.
        CalledFor = !Active ? (ushort)0 : CalledFor == 0 ? troubled : CalledFor;
        if (!Active || (troubled & ~CalledFor) == 0)
        {
            FurtherChanging = false;
            return false;
        }

        FurtherSince = FurtherChanging ? FurtherSince : now;
        FurtherChanging = true;
        if (now.SecondsSince(FurtherSince) < row.OnDelaySeconds)
        {
            return false;
        }

        (CalledFor, FurtherChanging) = ((ushort)(CalledFor | troubled), false);
        return Take(AlarmEvent.ReAlarm, row, now) == AlarmOutcome.Annunciates;
    }

    /// <summary>Lets an event happen to it.</summary>
    internal AlarmOutcome Take(AlarmEvent happened, Alarm row, MonotonicTime now)
    {
        var (next, outcome) = AlarmTransitions.Next(Standing, happened, new AlarmFacts(Active, row.Latches, row.MayBeSilenced));
        if (next != Standing)
        {
            Standing = next;
            StandingSince = now;
        }

        return outcome;
    }
}

/// <summary>All that is remembered of all alarms, by <see cref="AlarmId"/>.</summary>
[InlineArray(AlarmTable.Places)]
public struct AlarmStates
{
    private AlarmState _first;
}
