using Evenwater.Control;
using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Log;

namespace Evenwater.Running;

/// <summary>
/// One station's proof tests: the last that counts, and the one that is being done. A person goes through it over the socket, the cycles watch;
/// only one that was gone through to its end, or to a part that failed, is recorded.
/// </summary>
internal sealed class ProofDesk(StationLoop loop, LateDevices devices, Recorder recorder, StationClock clock)
{
    /// <summary>Name of the event that a proof test leaves in the log.</summary>
    public const string EventName = "proof-test";

    /// <summary>Who asks for the valve in a proof test.</summary>
    public const string By = "proof test";

    /// <summary>Name of the event that a proof test leaves that the program did not live to the end of.</summary>
    public const string CutShort = "proof-interrupted";

    private const string NoTest = "No proof test is being done.";
    private const string RestartedText = "Interrupted: the program was started again in the midst of the proof test. The valve is closed and the test's run is ended; nothing was recorded as done. "
        + "Begin it again with 'evenwater check --proof'.";
    private const int LongestName = 60;

    private readonly Lock _gate = new();
    private ProofTest? _test;
    private string _by = "";
    private ProofRecord? _last;
    private Channel? _held;
    private bool _overdue;
    private string _none = NoTest;

    /// <summary>The last proof test that was gone through, or null.</summary>
    public ProofRecord? Last
    {
        get
        {
            lock (_gate)
            {
                return _last;
            }
        }

        internal set
        {
            lock (_gate)
            {
                _last = value;
            }
        }
    }

    /// <summary>Takes over what the log says.</summary>
    public void Recall(LogReader log)
    {
        lock (_gate)
        {
            _last = log.LastEvent(loop.State.Station.Name, EventName)?.Proof;
        }
    }

    /// <summary>The program was started again in the midst of one: who looks is told, and the log keeps it.</summary>
    public void Restarted()
    {
        lock (_gate)
        {
            _none = RestartedText;
        }

        loop.Note(CutShort, RestartedText);
    }

    /// <summary>Whether it was done and is due again; while the clock can not tell, what it told last.</summary>
    public bool IsOverdue(MonotonicTime now)
    {
        lock (_gate)
        {
            return _overdue = _last is not null && (clock.WallAt(now) is { } wall ? wall > _last.DueAt(loop.State.Station) : _overdue);
        }
    }

    /// <summary>Why the station may not be left alone, and what to do; or null.</summary>
    public string? WhyNotAlone() => ProofText.WhyNotAlone(Last, loop.State.Station);

    /// <summary>How the proof test stands, in a sentence.</summary>
    public string Sentence(DateTimeOffset? wall) => ProofText.Of(Last, loop.State.Station, wall);

    /// <summary>What is asked over the socket: begin NAME, look, yes, no, stop, last. The first line of the answer is one word for the guide.</summary>
    public ControlAnswer Obey(string asked)
    {
        lock (_gate)
        {
            if (asked == "last")
            {
                return new ControlAnswer(WhyNotAlone() is null && !_overdue, Sentence(clock.WallAt(loop.LastTurn))) { NeverDone = _last is null };
            }

            if (asked.Split(' ', 2) is ["begin", .. var name])
            {
                return Begin(string.Concat(name).Trim());
            }

            if (_test is not { } test)
            {
                return new ControlAnswer(false, $"interrupted\n{_none}");
            }

            bool? answer = asked switch { "yes" => true, "no" => false, _ => null };
            if (answer is null && asked is not ("look" or "stop"))
            {
                return new ControlAnswer(false, $"proof: \"{asked}\" is not one of begin NAME, look, yes, no, stop, last.");
            }

            if (asked == "stop")
            {
                test.Interrupt("it was broken off.");
            }

            test.Hear(answer, loop.LastTurn);
            var word = test.Outcome != ProofOutcome.Running ? test.Outcome.ToString().ToLowerInvariant() : test.Asks ? "ask" : "wait";
            return new ControlAnswer(
                test.Outcome is ProofOutcome.Running or ProofOutcome.Passed,
                $"{word}\n{ProofParts.Of(test.Part).Name}\n{test.Text}\n{string.Join(", ", test.Results.Where(r => r.Passed).Select(r => $"{ProofParts.Of(r.Part).Name} {(r.Seen ? "seen" : "told")}"))}");
        }
    }

    /// <summary>After each turn, on the station's own thread.</summary>
    public void Turn(in Readings readings, Phase phase, MonotonicTime now)
    {
        lock (_gate)
        {
            if (_test is not { } test)
            {
                return;
            }

            var before = test.Outcome;
            Do(test.Step(readings, phase, now), test, now);
            Hold(test);
            if (before == ProofOutcome.Running && test.Outcome is ProofOutcome.Passed or ProofOutcome.Failed)
            {
                _last = new ProofRecord(clock.WallAt(now) ?? default, _by, [.. test.Results]);
                recorder.Proof(_last, loop.State, now);
            }
        }
    }

    private ControlAnswer Begin(string by)
    {
        var station = loop.State.Station;
        if (by.Length is 0 or > LongestName || by.Any(char.IsControl))
        {
            return new ControlAnswer(false, $"refused\n--by = {by.Length} characters: allowed are 1 to {LongestName} plain characters. Say who does it.") { CanNotBe = true };
        }

        var refusal = devices.Missing is { } missing ? $"The board of {station.Name} can not be opened. {missing}"
            : clock.Speed > 1 ? "A station that runs faster than life can not be tried by hand."
            : clock.WallAt(loop.LastTurn) is null ? "The clock of this computer was never set: a proof test needs its date."
            : _test is { Outcome: ProofOutcome.Running } ? "A proof test is being done already."
            : loop.Shown.Phase is not (Phase.Idle or Phase.Finished or Phase.Abandoned) ? $"{station.Name} has a run: finish it first. The proof test is done without animals."
            : loop.State.IsLatched ? "A latched alarm stands: look at it, and reset it first."
            : null;
        if (refusal is not null)
        {
            return new ControlAnswer(false, $"refused\n{refusal}");
        }

        (_test, _by) = (new ProofTest(station, loop.LastTurn), by);
        return new ControlAnswer(true, $"wait\n{ProofParts.Of(_test.Part).Name}\n{_test.Text}\n");
    }

    private void Do(ProofWant want, ProofTest test, MonotonicTime now)
    {
        switch (want)
        {
            case ProofWant.Open:
                Ask(Verb.Begin, test);
                break;
            case ProofWant.StandStill:
                devices.Valve?.StandStill(now.Plus(ProofTest.StandStillSeconds), now);
                break;
            case ProofWant.Close:
                Ask(Verb.Close, null);
                Ask(Verb.Finish, null);
                break;
            case ProofWant.Reset:
                Ask(Verb.Reset, null);
                break;
        }
    }

    private void Ask(Verb verb, ProofTest? test)
    {
        var station = loop.State.Station;
        var known = verb != Verb.Begin ? null : new StartKnown(
            TankMicrosiemensPerCm: station.Sensors.TankConductivity is null ? station.Waters.TankMicrosiemensPerCm : null, Attended: true, Unpaced: true);
        var asked = loop.Ask(new Asking(verb, By, known));
        _ = asked.ContinueWith(
            answer =>
            {
                lock (_gate)
                {
                    if (!answer.Result.Obeyed)
                    {
                        test?.Refused(answer.Result.Text);
                    }
                }
            },
            CancellationToken.None, TaskContinuationOptions.OnlyOnRanToCompletion, TaskScheduler.Default);
    }

    /// <summary>Where the keeper is simulated as well, its hand does what was told.</summary>
    private void Hold(ProofTest test)
    {
        loop.HandAtCoil?.Invoke(test.HandCuts);
        var channel = test.HandWet == true ? ProofParts.Switch(test.Part) : null;
        if (loop.Hand is { } hand && channel != _held)
        {
            if (_held is { } held)
            {
                hand(held, false);
            }

            if (channel is { } next)
            {
                hand(next, true);
            }

            _held = channel;
        }
    }
}
