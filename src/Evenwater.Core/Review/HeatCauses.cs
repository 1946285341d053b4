using Evenwater.Core.Keeping;

namespace Evenwater.Core.Review;

/// <summary>Heater and lamp.</summary>
internal static class HeatCauses
{
    public static Candidate Heater(Signs signs)
    {
        if (!signs.TemperatureMoved || signs.Peak is not { } peak) return Causes.Out(Cause.HeaterSchedule, "temperature did not move");
        var heat = signs.Temperature!;
        // Half a day later and a day later, as far as that was measured before something else moved it.
        var (later, when) = heat.After(10, 14) is { } half ? (half, "half a day") : heat.Grown(12) is var (grown, hours) ? (grown, $"{Causes.Say(hours)} h") : ((double?)null, "");
        var most = heat.Farthest(12) ?? peak;
        var day = heat.After(22, 28);
        var end = day ?? later;
        return new(Cause.HeaterSchedule,
        [
            later is not { } kept || end is not { } last ? new($"temperature moved by {Causes.Say(peak)} °C, and too little is known of after it", 0)
                : new($"temperature moved by {Causes.Say(most)} °C, by {Causes.Say(kept)} {(day is null ? "°C " : "")}{when}{(day is null ? "" : $" and {Causes.Say(last)} °C a day")} later", kept / most > 0.75 && last / most > 0.7 && Math.Abs(last) > 4 * signs.TemperatureSd ? 4.5 : -3),
            new(signs.ConductivityMoved ? "conductivity moved" : "conductivity did not move", signs.ConductivityMoved ? -2 : 0.5),
            new(signs.LightMoved > 1 ? "the light changed" : "the light is as ever", signs.LightMoved > 1 ? -3 : 0),
        ]);
    }

    public static Candidate Light(Signs signs, Happened happened) => signs.LightMoved switch
    {
        null => Causes.Out(Cause.LightSchedule, "no light sensor, or its usual day is not known yet"),
        <= 1 => Causes.Out(Cause.LightSchedule, "the light is as ever"),
        { } quarters => new(Cause.LightSchedule,
        [
            new($"the light was not as usual for {Causes.Say(quarters / 4.0)} h of a day", 6), Causes.Noted(signs, happened, 24, NoteKind.LightChange),
            new(signs.ConductivityMoved ? "conductivity moved" : "conductivity did not move", signs.ConductivityMoved ? -1.5 : 1),
        ]),
    };
}
