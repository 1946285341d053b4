using Evenwater.Core;
using Evenwater.Core.Alarms;

namespace Evenwater.Running;

/// <summary>
/// What a cycle was given besides its raw samples, kept in its log entry so that the very same cycle can be run again.
/// The two everyday ones are constants, since they are written once a second.
/// </summary>
internal sealed record CycleBody(bool ValveOpen, bool OpeningCommitted = false, Verb Command = Verb.None, RunStart? Start = null, bool LogCommits = true, Drawn? Drawn = null, AlarmAsk? AlarmAsk = null, bool? ProofOverdue = null, bool? SendingRefused = null, bool? TestCalls = null,
    DiskRoom? DiskRoom = null, bool? RoutineOverdue = null, bool? OutcomeDue = null, bool? CutUnknown = null, bool? BoardMissing = null, double? CutLonger = null)
{
    private static readonly string Open = Log.LogJson.Write(new CycleBody(true));
    private static readonly string Closed = Log.LogJson.Write(new CycleBody(false));

    /// <summary>The body of the entry.</summary>
    public static string Of(in Samples samples) => samples is { Command: Verb.None, OpeningCommitted: false, LogCommits: true, ProofOverdue: false, SendingRefused: false, TestCalls: false, DiskRoom: Core.DiskRoom.Plenty, RoutineOverdue: false, OutcomeDue: false, CutUnknown: false, BoardMissing: false, CutLonger: null }
        ? samples.ValveOpen ? Open : Closed
        : Log.LogJson.Write(new CycleBody(samples.ValveOpen, samples.OpeningCommitted, samples.Command, samples.Start, samples.LogCommits,
            samples.Command == Verb.Drawn ? samples.Drawn : null, AlarmConcern(samples), samples.ProofOverdue ? true : null, samples.SendingRefused ? true : null,
            samples.TestCalls ? true : null, samples.DiskRoom == Core.DiskRoom.Plenty ? null : samples.DiskRoom, samples.RoutineOverdue ? true : null, samples.OutcomeDue ? true : null, samples.CutUnknown ? true : null, samples.BoardMissing ? true : null, samples.CutLonger));

    private static AlarmAsk? AlarmConcern(in Samples samples) =>
        Core.Alarms.AlarmAsk.Concerns(samples.Command) && samples.AlarmAsk.Alarm != AlarmId.None ? samples.AlarmAsk : null;
}
