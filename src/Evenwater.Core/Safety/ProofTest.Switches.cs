namespace Evenwater.Core.Safety;

/// <summary>The parts that a hand turns wet and dry, and the program sees.</summary>
public sealed partial class ProofTest
{
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
}
