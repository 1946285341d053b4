using System.Globalization;
using Evenwater.Core.Keeping;
using Evenwater.Core.Safety;
using Evenwater.Core.Telling;

namespace Evenwater.Core.Waiting;

/// <summary>What to do when the animals are let in, step by step.</summary>
public static class ReleaseSteps
{
    /// <summary>The steps, in order; none without a run. Common practice, no source; the figures are this run's.</summary>
    /// <param name="state">The station.</param>
    public static IReadOnlyList<string> Of(StationState state) => state.Phase is not (Phase.Dripping or Phase.Holding) ? [] :
    [
        state.WasEven && state.IsEven ? "The waters are even." : "The waters are NOT known to be even: measure both with one probe before you go on, or let it drip further.",
        "Lights low, in the room and over the tank; leave them so for some hours.",
        "Net the animals over, or lift them with a wet hand. Never pour the vessel's water into the tank: it holds what they left in it, and what came with them.",
        "Count them, the living and the dead. Take the dead out of the vessel and do not put them into the tank.",
        Refill(state),
        "See that heater and filter are under water and run, and put the lid back.",
        "Pour the vessel's water away, not where it could reach a stream. Wash your hands, net and vessel.",
        $"Look at them after 24 hours and after 7 days, and note it: 'evenwater arrival --outcome 24h' and '7d'. It is asked for until it is noted, for {Arrivals.AskedDays:0} days at most.",
    ];

    private static string Refill(StationState state)
    {
        if (state.InflowLitres < 0.05)
        {
            return "The tank gave hardly any water.";
        }

        var falls = state.InflowLitres / state.Station.Source.SurfaceAreaSquareMetres;
        var like = Like(state);
        return $"Refill the tank with {state.InflowLitres.ToString(LitresForm.Of(state.Station.Vessel.BrimLitres), CultureInfo.InvariantCulture)} L, by which it has fallen {(falls < 1 ? "less than 1" : $"some {falls:0}")} mm{(state.Station.Source.AutomaticTopOff ? ", unless its automatic top-off has done so" : "")}: {like}. Slowly, and treated as you always do.";
    }

    private static string Like(StationState state)
    {
        var conductivity = state.Readings[Channel.TankConductivity].TryGet(out var c) ? $"{c:0} µS/cm at 25 °C" : null;
        var warmth = state.Readings[Channel.TankTemperature].TryGet(out var t) ? $"{t:0.0} °C" : null;
        return (conductivity, warmth) switch
        {
            (null, null) => "as the tank is, which no probe tells just now: measure it",
            _ => $"as the tank is, {string.Join(" and ", new[] { conductivity, warmth }.OfType<string>())}",
        };
    }
}
