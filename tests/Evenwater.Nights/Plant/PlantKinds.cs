namespace Evenwater.Nights.Plant;

/// <summary>The kinds of night, one row each. What goes wrong, how much and when is drawn from the seed.</summary>
public static class PlantKinds
{
    public static IReadOnlyList<PlantKind> All { get; } =
    [
        new("nominal"),
        new("marine") { Waters = Waters.Marine },
        new("standpipe") { Standpipe = true },
        new("near-waters") { Waters = Waters.Near },
        new("unequal-waters") { Waters = Waters.Unequal },
        new("power-gap", Happenings.PowerGap),
        new("probe-trouble", Happenings.ProbeTrouble),
        new("bubbles", Happenings.Bubbles),
        new("moved-probe", Happenings.MovedProbe),
        new("spikes", Happenings.Spikes),
        new("slow-rows", Happenings.SlowRows),
        new("swapped-probes", Happenings.SwappedProbes),
        new("surge", Happenings.Surge),
        new("sudden-clog", Happenings.SuddenClog),
        new("slow-clog", Happenings.SlowClog),
        new("falling-head", Happenings.FallingHead),
        new("tank-change", Happenings.TankChange),
        new("leaking-valve", Happenings.LeakingValve),
        new("float-stuck", Happenings.FloatStuck),
        new("draw-offs", Happenings.DrawOffs),
        new("no-tank-probe", Happenings.NoTankProbe),
        new("drop-counter", (plan, chance) => plan with { Drops = Parts.Drops(chance) }),
        new("load-cell", (plan, chance) => plan with { LoadCell = Parts.LoadCell(chance) }),
        new("level-sensor", (plan, chance) => plan with { Level = Parts.Level(chance) }),
        new("all-sensors", (plan, chance) => plan with { Drops = Parts.Drops(chance), LoadCell = Parts.LoadCell(chance), Level = Parts.Level(chance) }),
    ];

    public static PlantKind Named(string name) => All.Single(k => k.Name == name);
}
