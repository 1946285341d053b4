using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Hardware.Rig;
using Evenwater.Running;

namespace Evenwater.Nights.Faults;

/// <summary>One night of the campaign and what it came to, by the plant's own truth and not by what the program believes.</summary>
internal sealed record FaultNight(string Name, Setting Setting, ulong Seed, IReadOnlyList<RigFault> Faults, Station Station, Verdict Verdict)
{
    /// <summary>Less than this is taken for none, L: a drop is 0.00005.</summary>
    public const double DryLitres = 0.0001;

    /// <summary>The rig's leak sensor tells at 0.02 L, and the valve takes its seconds.</summary>
    public const double LeakLitres = 0.05;

    /// <summary>Longest night, h. A drip three times as fast brings 28.8 L in eleven.</summary>
    private const double Hours = 16;

    /// <summary>What ran over the rim, L: the flood that is counted.</summary>
    public double RimLitres { get; private init; }

    /// <summary>What ran beside the vessel, because its tube fell out, L.</summary>
    public double BesideLitres { get; private init; }

    /// <summary>What the catch could not hold, L.</summary>
    public double FloorLitres { get; private init; }

    /// <summary>What was watched.</summary>
    public required Watch Seen { get; init; }

    /// <summary>Whether water ran over the rim.</summary>
    public bool OverRim => RimLitres > DryLitres;

    /// <summary>Whether water came to the floor.</summary>
    public bool OnFloor => FloorLitres > DryLitres;

    /// <summary>Whether it would have, without a catch: more than what must run before the leak sensor can tell.</summary>
    public bool OnFloorWithoutCatch => RimLitres + BesideLitres > LeakLitres;

    public static FaultNight Run(string name, FaultScript? script, Setting setting, ulong seed, int turn, double pace = 1)
    {
        var faults = script?.Draw(seed, turn, pace) ?? [];
        var station = FaultStation.For([.. faults.Select(f => f.Kind)], pace);
        var catchLitres = setting.Layers.HasFlag(Layers.Catch) ? station.Vessel.CatchLitres ?? 0 : 0;
        var watch = new Watch(faults, rig => rig.SpilledLitres + rig.BesideLitres + rig.DrainedLitres > catchLitres + DryLitres);
        SimulatedRig? rig = null;
        var verdict = Rehearsal.Run(
            station, seed, faults, Hours / pace, null,
            watch: night => watch.Step(night, rig = night.Rig), layers: setting.Layers);
        return new FaultNight(name, setting, seed, faults, station, verdict)
        {
            Seen = watch,
            RimLitres = rig!.SpilledLitres,
            BesideLitres = rig.BesideLitres,
            FloorLitres = Math.Max(0, rig.SpilledLitres + rig.BesideLitres + rig.DrainedLitres - catchLitres),
        };
    }

    public override string ToString() =>
        $"{Name}; {Setting.Name}; seed {Seed}; {(Faults.Count == 0 ? "no fault" : string.Join(", ", Faults))}: "
        + $"{RimLitres:0.00} L over the rim, {BesideLitres:0.00} L beside, {FloorLitres:0.00} L on the floor, most {Verdict.LitresMost:0.00} L, "
        + $"trip {TripWord(Verdict.Trip)}; "
        + $"opened while wet {Seen.WetOpenings}, reset while wet {Seen.WetResets}, went on after a trip {Seen.Resumed}";

    /// <summary>How the reports call a trip.</summary>
    public static string TripWord(Trip trip) => trip == Trip.None ? "none" : Words.Of(trip);
}
