using Evenwater.Core.Keeping;

namespace Evenwater.Core.Review;

/// <summary>Heater and lamp.</summary>
internal static class HeatCauses
{
    public static Candidate Heater(Signs signs)
    {
        if (!signs.TemperatureMoved || signs.Peak is not { } peak) return Causes.Out(Cause.HeaterSchedule, "temperature did not move");
        var heat = signs.Temperature!;
        if ((heat.After(10, 14) ?? heat.Grown(12)?.Change) is not { } later) return Causes.Out(Cause.HeaterSchedule, "too little after it");
        var end = heat.After(22, 28) ?? later;
        return new(Cause.HeaterSchedule,
        [
            new($"temperature moved by {Causes.Say(peak)} °C, by {Causes.Say(later)} half a day and {Causes.Say(end)} °C a day later", later / peak > 0.75 && end / peak > 0.7 && Math.Abs(end) > 4 * signs.TemperatureSd ? 4.5 : -3),
            new(signs.ConductivityMoved ? "but conductivity moved" : "and conductivity did not move", signs.ConductivityMoved ? -2 : 0.5),
            new(signs.LightMoved > 1 ? "but the light changed" : "and the light is as ever", signs.LightMoved > 1 ? -3 : 0),
        ]);
    }

    public static Candidate Light(Signs signs, Happened happened) => signs.LightMoved switch
    {
        null => Causes.Out(Cause.LightSchedule, "no light sensor"),
        <= 1 => Causes.Out(Cause.LightSchedule, "the light is as ever"),
        { } quarters => new(Cause.LightSchedule,
        [
            new($"the light was not as usual for {Causes.Say(quarters / 4.0)} h of a day", 6), Causes.Noted(signs, happened, 24, NoteKind.LightChange),
            new(signs.ConductivityMoved ? "but conductivity moved" : "and conductivity did not move", signs.ConductivityMoved ? -1.5 : 1),
        ]),
    };
}
