using Evenwater.Core.Safety;

namespace Evenwater.Core;

/// <summary>
/// Water that a person has taken out, told while the run is on, the valve open or closed. The estimate believes it as far as it is known;
/// what is more than the vessel can hold was not taken out of it.
/// </summary>
internal static class DrawingOff
{
    /// <summary>Takes it, or refuses it.</summary>
    public static void Take(StationState state, Drawn drawn, ref EffectBuffer effects)
    {
        var inRun = state.Estimator is not null && state.Phase is Phase.Armed or Phase.Dripping or Phase.Holding or Phase.Tripped;
        if (!inRun || !IsThere(state, drawn))
        {
            effects.Add(new Effect(EffectKind.Refused) { Verb = Verb.Drawn, Refusal = inRun ? Refusal.NotThere : Refusal.WrongPhase });
            return;
        }

        state.TakeOut(drawn);
        effects.Add(new Effect(EffectKind.DrawnOff) { Drawn = drawn });
    }

    /// <summary>Judged by the vessel, not by the forecast: that one may be what is wrong.</summary>
    private static bool IsThere(StationState state, Drawn drawn) =>
        drawn.Litres > 0 && drawn.Litres < state.Run!.Prior.BrimLitres && drawn.RelativeSd is >= 0 and <= 1;
}
