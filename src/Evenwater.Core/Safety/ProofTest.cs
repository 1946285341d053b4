using Evenwater.Core.Stations;

namespace Evenwater.Core.Safety;

/// <summary>
/// A proof test, stepped by the station's own cycles: it watches the switches and the drops itself and asks only what it cannot see. It ends
/// at the first part that fails, because what comes after it opens the valve. All times are common practice, no source, unless told.
/// </summary>
public sealed partial class ProofTest
{
    /// <summary>For how long the pulses stop, s: five times the 2 s in which the driver must let go (hardware/README.md).</summary>
    public const double StandStillSeconds = 10;

    /// <summary>Nobody has looked for so long: interrupted, s.</summary>
    public const double LapseSeconds = 10;

    /// <summary>How long a person is waited for at each step, s.</summary>
    public const double PatienceSeconds = 120;

    /// <summary>No drop for so long after closing, s.</summary>
    public const double NoDropSeconds = 60;

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
    private bool _shut;
    private bool _came;
    private bool _gone;
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

    /// <summary>What a person is to do or to answer now, or why it ended; empty until the first cycle of a part.</summary>
    public string Text { get; private set; } = "";

    /// <summary>What came of the parts so far.</summary>
    public IReadOnlyList<ProofResult> Results => _results;

    /// <summary>For a simulated station: how its keeper would hold the switch of this part now; null when it is not about one.</summary>
    public bool? HandWet => Outcome == ProofOutcome.Running && ProofParts.Switch(Part) is not null ? _stage == 1 : null;

    /// <summary>For a simulated station: whether its keeper would keep the current from the coil now, by the float in its supply or its plug. Without a drop counter a person is asked, and says so.</summary>
    public bool HandCuts => Outcome == ProofOutcome.Running && _counts && Part is ProofPart.SeriesFloat or ProofPart.Plug && _stage == 0;

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

    /// <summary>Its own opening was refused: what opens or drips is somebody else's, and not its to close.</summary>
    public void Refused(string why)
    {
        _opened = false;
        Interrupt(why);
    }

    /// <summary>One cycle.</summary>
    /// <param name="readings">What the cycle was given.</param>
    /// <param name="phase">Where the station stands after it.</param>
    /// <param name="now">Its time.</param>
    public ProofWant Step(in Readings readings, Phase phase, MonotonicTime now)
    {
        Count(readings[Channel.Drops], now);
        var want = ProofWant.Nothing;
        _shut |= _closeAsked && phase is not (Phase.Armed or Phase.Dripping);
        _came |= _opened && phase is Phase.Armed or Phase.Dripping;
        _gone |= _came && _shut && phase is not (Phase.Armed or Phase.Dripping);
        if (Outcome == ProofOutcome.Running)
        {
            if (now.SecondsSince(_heard) > LapseSeconds)
            {
                Interrupt($"nobody has looked for {LapseSeconds:0} s.");
            }
            else if (Stopped(phase) is { } stopped)
            {
                _opened &= !_shut; // what opens behind its own close is somebody else's
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

            // Closing jumps the queue: an opening that was asked for before may come after it, and is closed again. Where its own opening
            // has come and gone, what opens then is a keeper's run.
            var late = Outcome != ProofOutcome.Passed && !_gone && phase is Phase.Armed or Phase.Dripping && now.SecondsSince(_endedAt.Value) <= LapseSeconds;
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
        Phase.Tripped => "the station has tripped. Look why and reset it, then start again.",
        Phase.Armed or Phase.Dripping or Phase.Holding when !_opened => "a run has begun.",
        Phase.Armed or Phase.Dripping when _shut => "a run has begun while the closed valve was watched.",
        not Phase.Dripping when _dripped && !_closeAsked => "the valve was closed meanwhile.",
        Phase.Holding when !_dripped => "the station did not open.",
        _ => null,
    };

    private void Pass(bool seen, MonotonicTime now)
    {
        _results.Add(new ProofResult(Part, seen, Passed: true));
        if (_results.Count == _parts.Count)
        {
            (Outcome, Asks, Text) = (ProofOutcome.Passed, false, "Every part held.");
            return;
        }

        (Part, Text) = (_parts[_results.Count], "");
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
