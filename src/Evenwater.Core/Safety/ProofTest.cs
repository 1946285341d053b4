using Evenwater.Core.Stations;

namespace Evenwater.Core.Safety;

/// <summary>How a proof test stands.</summary>
public enum ProofOutcome
{
    /// <summary>It goes on.</summary>
    Running,

    /// <summary>Every part held.</summary>
    Passed,

    /// <summary>A part did not hold; the parts after it were not tried.</summary>
    Failed,

    /// <summary>It was not gone through to its end: nothing of it counts.</summary>
    Interrupted,
}

/// <summary>What a proof test wants done.</summary>
public enum ProofWant
{
    /// <summary>Nothing.</summary>
    Nothing,

    /// <summary>A run, attended, through the same door as any other.</summary>
    Open,

    /// <summary>No pulses for <see cref="ProofTest.StandStillSeconds"/>, the line left as it is.</summary>
    StandStill,

    /// <summary>Close, and end that run.</summary>
    Close,

    /// <summary>End what the wetted leak sensor has latched.</summary>
    Reset,
}

/// <summary>
/// A proof test, stepped by the station's own cycles: it watches the switches and the drops itself and asks only what it cannot see. It ends
/// at the first part that fails, because what comes after it opens the valve. All times are common practice, no source, unless told.
/// </summary>
public sealed class ProofTest
{
    /// <summary>For how long the pulses stop, s: five times the 2 s in which the driver must let go (hardware/README.md).</summary>
    public const double StandStillSeconds = 10;

    /// <summary>Nobody has looked for so long: interrupted, s.</summary>
    public const double LapseSeconds = 10;

    /// <summary>How long a person is waited for at each step, s.</summary>
    public const double PatienceSeconds = 120;

    /// <summary>No drop for so long after closing, s.</summary>
    public const double NoDropSeconds = 60;

    private const double HoseSeconds = 5;         // what hangs in the hose may fall first
    private const double DropOutSeconds = 4;      // 2 s for the driver, 1 s for the fall, 1 s until a cycle counts it
    private const double QuietSeconds = 5;
    private const double SlowestSeenDropSeconds = 2; // slower drops say nothing about two seconds
    private const int DropsThatRun = 5;

    private readonly IReadOnlyList<ProofPart> _parts;
    private readonly bool _counts;
    private readonly List<ProofResult> _results = [];
    private int _stage;
    private MonotonicTime _since;
    private MonotonicTime _heard;
    private MonotonicTime _lastDrop;
    private double _drops;
    private double _dropSeconds;
    private bool _opened;
    private bool _dripped;
    private bool _blind;
    private bool _closeAsked;
    private MonotonicTime? _endedAt;
    private bool? _answer;

    /// <summary>A test of a station, not yet stepped.</summary>
    public ProofTest(Station station, MonotonicTime now)
    {
        ArgumentNullException.ThrowIfNull(station);
        _parts = ProofParts.Fitted(station.Sensors);
        _counts = station.Sensors.DropCounterLine is not null;
        _since = _heard = _lastDrop = now;
        Part = _parts[0];
    }

    /// <summary>The part that is being tried, or was last.</summary>
    public ProofPart Part { get; private set; }

    /// <summary>How it stands.</summary>
    public ProofOutcome Outcome { get; private set; }

    /// <summary>Whether it waits for yes or no.</summary>
    public bool Asks { get; private set; }

    /// <summary>What a person is to do or to answer now, or why it ended.</summary>
    public string Text { get; private set; } = "The first cycle begins it.";

    /// <summary>What came of the parts so far.</summary>
    public IReadOnlyList<ProofResult> Results => _results;

    /// <summary>For a simulated station: how its keeper would hold the switch of this part now; null when it is not about one.</summary>
    public bool? HandWet => Outcome == ProofOutcome.Running && ProofParts.Switch(Part) is not null ? _stage == 1 : null;

    /// <summary>A person looks, and may answer: yes; no, which also gives up a part that the program does not see.</summary>
    public void Hear(bool? answer, MonotonicTime now)
    {
        _heard = now;
        _answer = answer ?? _answer;
    }

    /// <summary>Ends it without any result.</summary>
    public void Interrupt(string why)
    {
        if (Outcome == ProofOutcome.Running)
        {
            (Outcome, Asks) = (ProofOutcome.Interrupted, false);
            Text = $"Interrupted: {why} Nothing was recorded as done.";
        }
    }

    /// <summary>One cycle.</summary>
    /// <param name="readings">What the cycle was given.</param>
    /// <param name="phase">Where the station stands after it.</param>
    /// <param name="now">Its time.</param>
    public ProofWant Step(in Readings readings, Phase phase, MonotonicTime now)
    {
        Count(readings[Channel.Drops], now);
        var want = ProofWant.Nothing;
        if (Outcome == ProofOutcome.Running)
        {
            if (now.SecondsSince(_heard) > LapseSeconds)
            {
                Interrupt($"nobody has looked for {LapseSeconds:0} s.");
            }
            else if (Stopped(phase) is { } stopped)
            {
                Interrupt(stopped);
            }
            else
            {
                _dripped |= _opened && phase == Phase.Dripping;
                want = ProofParts.Switch(Part) is { } channel ? StepSwitch(readings[channel], now) : StepValve(phase, now);
                _answer = null;
            }
        }

        if (Outcome != ProofOutcome.Running)
        {
            _endedAt ??= now;

            // Closing jumps the queue: an opening that was asked for before may come after it, and is closed again.
            var late = phase is Phase.Armed or Phase.Dripping && now.SecondsSince(_endedAt.Value) <= LapseSeconds;
            if (want == ProofWant.Nothing && _opened && (!_closeAsked || late))
            {
                want = ProofWant.Close;
            }
        }

        _opened |= want == ProofWant.Open;
        _closeAsked |= want == ProofWant.Close;
        return want;
    }

    /// <summary>Somebody else moved the valve, or a trip did.</summary>
    private string? Stopped(Phase phase) => phase switch
    {
        Phase.Tripped => "the station has tripped. Look why, reset it and finish its run, then start again.",
        Phase.Armed or Phase.Dripping or Phase.Holding when !_opened => "a run has begun.",
        not Phase.Dripping when _dripped && !_closeAsked => "the valve was closed meanwhile.",
        Phase.Holding when !_dripped => "the station did not open.",
        _ => null,
    };

    private ProofWant StepSwitch(in Reading reading, MonotonicTime now)
    {
        var row = ProofParts.Of(Part);
        Text = _stage switch { 0 => $"The {row.Name} must be dry first.", 1 => row.Do, _ => "Seen wet. Now dry again: let it hang, or wipe it dry." };
        bool? wet = reading.TryGet(out var value) ? value != 0 : null;
        switch (_stage, wet)
        {
            case (0, false) or (1, true):
                Stage(_stage + 1, now);
                break;
            case (2, false):
                var leak = Part == ProofPart.Leak;
                Pass(seen: true, now);
                return leak ? ProofWant.Reset : ProofWant.Nothing;
            default:
                if (_answer == false || now.SecondsSince(_since) > PatienceSeconds)
                {
                    Fail(seen: true, wet is null ? "it gave no answer" : _stage == 1 ? "the program saw it dry all the time" : "the program saw it wet all the time");
                }

                break;
        }

        return ProofWant.Nothing;
    }

    private ProofWant StepValve(Phase phase, MonotonicTime now)
    {
        var row = ProofParts.Of(Part);
        Text = row.Do;
        var waited = now.SecondsSince(_since);
        switch (Part, _stage)
        {
            case (ProofPart.Opens, 0):
                Stage(1, now);
                return ProofWant.Open;
            case (ProofPart.Opens, 1):
                if (phase == Phase.Dripping)
                {
                    Stage(2, now);
                }
                else if (waited > PatienceSeconds)
                {
                    Interrupt("the station did not open.");
                }

                break;
            case (ProofPart.Opens, _) when _counts:
                if (_drops >= DropsThatRun)
                {
                    _dropSeconds = waited / _drops;
                    Pass(seen: true, now);
                }
                else
                {
                    FailInTime("the drop counter saw no water run", now);
                }

                break;
            case (ProofPart.SeriesFloat or ProofPart.Plug, 0) when _counts:
                if (now.SecondsSince(_lastDrop) > Math.Max(QuietSeconds, 5 * _dropSeconds))
                {
                    Stage(1, now);
                }
                else
                {
                    FailInTime("the drop counter saw the water run on", now);
                }

                break;
            case (ProofPart.SeriesFloat or ProofPart.Plug, 1) when _counts:
                if (_drops >= 2)
                {
                    Pass(seen: true, now);
                }
                else
                {
                    FailInTime("the drop counter did not see the water run again", now);
                }

                break;
            case (ProofPart.DropOut, 0):
                Stage(1, now);
                return ProofWant.StandStill;
            case (ProofPart.DropOut, 1) when _counts && _dropSeconds <= SlowestSeenDropSeconds:
                if (_blind || now.SecondsSince(_lastDrop) < waited - DropOutSeconds)
                {
                    Fail(seen: true, _blind ? "the drop counter gave no answer" : "water ran on without pulses");
                }
                else if (waited >= StandStillSeconds - 1)
                {
                    Pass(seen: true, now);
                }

                break;
            case (ProofPart.Closes, 0):
                Stage(1, now);
                return ProofWant.Close;
            case (ProofPart.Closes, 1):
                if (waited >= HoseSeconds)
                {
                    Stage(2, now);
                }

                break;
            case (ProofPart.Closes, 2):
                if (_counts && (_blind || _drops > 0))
                {
                    Fail(seen: true, _blind ? "the drop counter gave no answer" : "drops fell from the closed valve");
                }
                else if (waited >= NoDropSeconds)
                {
                    if (_counts)
                    {
                        Pass(seen: true, now);
                    }
                    else
                    {
                        Stage(3, now);
                    }
                }

                break;
            default:
                AskNow(row, now);
                break;
        }

        return ProofWant.Nothing;
    }

    private void AskNow(ProofRow row, MonotonicTime now)
    {
        Text = Part == ProofPart.DropOut ? $"{row.Do} {row.Ask}" : row.Ask;
        if (Asks && _answer is { } yes)
        {
            if (yes)
            {
                Pass(seen: false, now);
            }
            else
            {
                Fail(seen: false, "the answer was no");
            }

            return;
        }

        Asks = true;
        if (now.SecondsSince(_since) > PatienceSeconds)
        {
            Interrupt($"no answer for {PatienceSeconds:0} s.");
        }
    }

    /// <summary>A beam that gives no answer counts as a drop just now: it never says that no water runs.</summary>
    private void Count(in Reading drops, MonotonicTime now)
    {
        if (!drops.TryGet(out var fell))
        {
            (_blind, _lastDrop) = (true, now);
        }
        else if (fell > 0)
        {
            _drops += fell;
            _lastDrop = now;
        }
    }

    private void FailInTime(string why, MonotonicTime now)
    {
        if (_answer == false || now.SecondsSince(_since) > PatienceSeconds + (10 * _dropSeconds))
        {
            Fail(seen: true, why);
        }
    }

    private void Pass(bool seen, MonotonicTime now)
    {
        _results.Add(new ProofResult(Part, seen, Passed: true));
        if (_results.Count == _parts.Count)
        {
            (Outcome, Asks, Text) = (ProofOutcome.Passed, false, "Every part held.");
            return;
        }

        Part = _parts[_results.Count];
        Stage(0, now);
    }

    private void Fail(bool seen, string why)
    {
        _results.Add(new ProofResult(Part, seen, Passed: false, why));
        (Outcome, Asks) = (ProofOutcome.Failed, false);
        var row = ProofParts.Of(Part);
        Text = $"FAILED: {row.Name}: {why}. {row.Mend}";
    }

    private void Stage(int stage, MonotonicTime now) => (_stage, _since, _drops, _blind, Asks) = (stage, now, 0, false, false);
}
