using Evenwater.Core.Estimation;

namespace Evenwater.Nights.Plant;

/// <summary>Draws the parts of a night: the drip, the stirring, the sensors, the pauses.</summary>
public static class Parts
{
    public static Inflow.Setup Drip(Chance chance, double millilitresPerMinute)
    {
        var jumps = new List<FlowChange>();
        for (var at = chance.Wait(48 * 3600); at < 12 * 3600; at += chance.Wait(48 * 3600))
        {
            jumps.Add(new FlowChange(at, Math.Exp(0.05 * chance.Gauss()), chance.LogBetween(5, 300))); // a bubble, a nudge
        }

        return new Inflow.Setup
        {
            MillilitresPerMinute = millilitresPerMinute,
            HeadLoss = chance.Between(0.02, 0.4),
            LaminarShare = chance.Between(0.2, 1),
            TrendPerHour = -0.02 + (0.025 * chance.Gauss()),
            WanderSd = chance.LogBetween(0.01, 0.04),
            WanderSeconds = chance.LogBetween(600, 3600),
            WalkSdPerRootHour = chance.LogBetween(0.003, 0.02),
            ReopenSd = chance.Between(0, 0.04),
            Changes = jumps,
        };
    }

    public static Stirring Stirring(Chance chance) => new()
    {
        SurfaceShare = chance.Between(0.05, 0.3),
        FloorShare = chance.Between(0.03, 0.15),
        SurfaceSeconds = chance.LogBetween(15, 200),
        FloorSeconds = chance.LogBetween(150, 1000),
        StillShare = chance.Between(0.15, 0.8),
        PlungeShare = chance.Happens(0.25) ? chance.Between(0, 0.3) : 0,
        ProbeZone = chance.Happens(0.84) ? Vessel.Body : chance.OneOf(Vessel.Surface, Vessel.Floor),
        TouchShare = chance.Happens(0.4) ? chance.Between(0, 0.02) : 0,
    };

    /// <summary>Probes, thermometers and floats for what the prior says is there.</summary>
    public static NightPlan Fit(NightPlan plan, Chance chance, double gainRatioSd, double floatSd, double area)
    {
        var lost = chance.Happens(0.4) ? chance.LogBetween(0.0005, 0.01) : 0;
        var flicker = chance.Happens(0.6) ? chance.LogBetween(0.0001, 0.004) : 0;
        var waves = area * chance.LogBetween(0.3, 2.5); // L for a wave of so many mm
        return plan with
        {
            VesselProbe = Probe(lost, chance.LogBetween(10, 150)),
            TankProbe = Probe(lost, chance.LogBetween(5, 60)),
            FloatLow = Float(plan.Prior.FloatLowLitres),
            FloatHigh = Float(plan.Prior.FloatHighLitres),
            VesselThermometerOffset = 0.1 * chance.Gauss(),
            TankThermometerOffset = 0.1 * chance.Gauss(),
        };

        ConductivityProbe.Setup Probe(double lostShare, double lag) => new()
        {
            Gain = Math.Exp(gainRatioSd / Math.Sqrt(2) * chance.Gauss()),
            LagSeconds = lag,
            WanderSd = chance.LogBetween(0.0005, 0.0025),
            WanderSeconds = chance.LogBetween(600, 2400),
            WalkSdPerRootHour = chance.LogBetween(0.0001, 0.001),
            NoiseSd = chance.Between(0.003, 0.0105),
            Step = plan.Prior.QuantisationMicrosiemensPerCm,
            LostShare = lostShare,
        };

        FloatSwitch.Setup? Float(double? nominal) => nominal is { } at
            ? new()
            {
                AtLitres = at + (floatSd * chance.Gauss()),
                TravelLitres = area * chance.Between(0, 1.5),
                WaveSdLitres = waves,
                StickLitres = chance.Happens(0.2) ? area * chance.Wait(2) : 0,
                FlickerShare = flicker,
            }
            : null;
    }

    /// <summary>Once or twice the valve is planned to be closed for a while.</summary>
    public static NightPlan Paused(NightPlan plan, Chance chance)
    {
        var commands = new List<ValveCommand>();
        var at = plan.AboutSeconds * chance.Between(0.1, 0.45);
        for (var i = chance.Whole(1, 2); i > 0; i--)
        {
            var until = at + chance.Between(900, 2500);
            commands.Add(new ValveCommand(Math.Round(at), Open: false));
            commands.Add(new ValveCommand(Math.Round(until), Open: true));
            at = until + (plan.AboutSeconds * chance.Between(0.1, 0.35));
        }

        return plan with { Prior = plan.Prior with { ValveCommands = commands } };
    }

    public static DropCounter.Setup Drops(Chance chance)
    {
        var drop = 0.05 * Math.Exp(0.12 * chance.Gauss());
        return chance.Happens(0.5)
            ? new() { DropMillilitres = drop, KneePerSecond = chance.Between(3.5, 7), Power = chance.Between(0.15, 0.5) }
            : new() { DropMillilitres = drop, BlindSeconds = chance.Between(0, 0.08) };
    }

    /// <summary>kg.</summary>
    public static Scale.Setup LoadCell(Chance chance) =>
        new(0.05 * chance.Gauss(), 1 + (0.002 * chance.Gauss()), chance.Between(0.005, 0.025), chance.Between(0.002, 0.006), 0.001);

    /// <summary>mm.</summary>
    public static Scale.Setup Level(Chance chance) =>
        new(3 * chance.Gauss(), 1 + (0.005 * chance.Gauss()), chance.Between(0.2, 1.2), chance.Between(0.8, 2.5), 0.1);
}
