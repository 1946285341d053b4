namespace Evenwater.Core.Safety;

/// <summary>The parts that open the valve: seen by the drop counter where there is one, asked of a person where not.</summary>
public sealed partial class ProofTest
{
    private const double HoseSeconds = 5;         // what hangs in the hose may fall first
    private const double DropOutSeconds = 4;      // 2 s for the driver, 1 s for the fall, 1 s until a cycle counts it
    private const double QuietSeconds = 5;
    private const double SlowestSeenDropSeconds = 2; // slower drops say nothing about two seconds
    private const int DropsThatRun = 5;

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
}
