using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Log;

namespace Evenwater.Running;

/// <summary>What a cycle was given besides its raw samples, kept in its log entry so that the very same cycle can be run again. What is so every day is left out.</summary>
internal sealed record CycleBody(
    bool ValveOpen, bool OpeningCommitted = false, Verb Command = Verb.None, RunStart? Start = null, bool LogCommits = true, Drawn? Drawn = null, AlarmAsk? AlarmAsk = null,
    bool? ProofOverdue = null, bool? SendingRefused = null, bool? TestCalls = null, DiskRoom? DiskRoom = null, bool? RoutineOverdue = null, bool? OutcomeDue = null,
    bool? CutUnknown = null, bool? BoardMissing = null, double? CutLonger = null)
{
    // The two everyday ones are written once a second.
    private static readonly CycleBody Open = new(true);
    private static readonly CycleBody Closed = new(false);
    private static readonly string OpenText = LogJson.Write(Open);
    private static readonly string ClosedText = LogJson.Write(Closed);

    /// <summary>The body of the entry.</summary>
    public static string Of(in Samples samples)
    {
        var body = new CycleBody(
            samples.ValveOpen, samples.OpeningCommitted, samples.Command, samples.Start, samples.LogCommits,
            samples.Command == Verb.Drawn ? samples.Drawn : null,
            Core.Alarms.AlarmAsk.Concerns(samples.Command) && samples.AlarmAsk.Alarm != AlarmId.None ? samples.AlarmAsk : null,
            True(samples.ProofOverdue), True(samples.SendingRefused), True(samples.TestCalls), samples.DiskRoom == Core.DiskRoom.Plenty ? null : samples.DiskRoom,
            True(samples.RoutineOverdue), True(samples.OutcomeDue), True(samples.CutUnknown), True(samples.BoardMissing), samples.CutLonger);
        return body == Closed ? ClosedText : body == Open ? OpenText : LogJson.Write(body);
    }

    /// <summary>The same as the cycle was given it.</summary>
    /// <param name="readings">Its readings.</param>
    public Samples With(in Readings readings) => new()
    {
        Readings = readings,
        ValveOpen = ValveOpen,
        OpeningCommitted = OpeningCommitted,
        Command = Command,
        Start = Start,
        Drawn = Drawn ?? default,
        AlarmAsk = AlarmAsk ?? default,
        LogCommits = LogCommits,
        ProofOverdue = ProofOverdue ?? false,
        SendingRefused = SendingRefused ?? false,
        TestCalls = TestCalls ?? false,
        OutcomeDue = OutcomeDue ?? false,
        DiskRoom = DiskRoom ?? Core.DiskRoom.Plenty,
        RoutineOverdue = RoutineOverdue ?? false,
        CutUnknown = CutUnknown ?? false,
        BoardMissing = BoardMissing ?? false,
        CutLonger = CutLonger,
    };

    private static bool? True(bool fact) => fact ? true : null;
}
