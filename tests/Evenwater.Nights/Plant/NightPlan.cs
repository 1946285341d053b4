using Evenwater.Core.Estimation;
using Evenwater.Nights.Scoring;

namespace Evenwater.Nights.Plant;

/// <summary>How the vessel's water mixes and where its probe hangs.</summary>
public sealed record Stirring
{
    /// <summary>Share of the water the drops fall on.</summary>
    public double SurfaceShare { get; init; } = 0.2;

    /// <summary>Share of the water lying still under the body.</summary>
    public double FloorShare { get; init; } = 0.1;

    /// <summary>Surface and body even out with this time constant while it drips, s.</summary>
    public double SurfaceSeconds { get; init; } = 60;

    /// <summary>Body and floor, s.</summary>
    public double FloorSeconds { get; init; } = 500;

    /// <summary>How much of the stirring is left when nothing drips.</summary>
    public double StillShare { get; init; } = 0.4;

    /// <summary>Share of the drip that plunges straight to the floor, as heavier water does.</summary>
    public double PlungeShare { get; init; }

    /// <summary>Zone in which the probe hangs.</summary>
    public int ProbeZone { get; init; } = Vessel.Body;

    /// <summary>Share of fresh drip in the water the probe feels.</summary>
    public double TouchShare { get; init; }
}

/// <summary>Everything a night is made of: what the keeper knows (the prior) and what is true.</summary>
public sealed record NightPlan
{
    public required Prior Prior { get; init; }

    public double PeriodSeconds { get; init; } = 5;

    /// <summary>Only every so manyth step is recorded.</summary>
    public int StepsPerRow { get; init; } = 1;

    public double Seconds { get; init; } = 12 * 3600;

    /// <summary>The recording ends so long after the water has reached the rim, s.</summary>
    public double SpillSeconds { get; init; } = 900;

    public required double StartLitres { get; init; }

    public required double BrimLitres { get; init; }

    public double? StandpipeLitres { get; init; }

    /// <summary>Before the first drop, µS/cm.</summary>
    public required double VesselMicrosiemens { get; init; }

    public required double TankMicrosiemens { get; init; }

    public double BagCelsius { get; init; } = 20;

    public double TankCelsius { get; init; } = 24;

    public double TankWanderSd { get; init; }

    public IReadOnlyList<TankChange> TankChanges { get; init; } = [];

    public required Inflow.Setup Inflow { get; init; }

    /// <summary>The tube takes the drip towards the room as exp(-this / flow), mL/min.</summary>
    public double TubeMillilitresPerMinute { get; init; }

    public required Air Air { get; init; }

    public Stirring Stirring { get; init; } = new();

    public ConductivityProbe.Setup VesselProbe { get; init; } = new();

    /// <summary>Null when the tank has no probe.</summary>
    public ConductivityProbe.Setup? TankProbe { get; init; } = new();

    /// <summary>From when the two conductivity probes hang in each other's water, s.</summary>
    public double SwappedFromSeconds { get; init; } = double.PositiveInfinity;

    public FloatSwitch.Setup? FloatLow { get; init; }

    public FloatSwitch.Setup? FloatHigh { get; init; }

    /// <summary>What each thermometer reads too much, °C.</summary>
    public double VesselThermometerOffset { get; init; }

    public double TankThermometerOffset { get; init; }

    public DropCounter.Setup? Drops { get; init; }

    public Scale.Setup? LoadCell { get; init; }

    public Scale.Setup? Level { get; init; }

    public IReadOnlyList<Gap> Gaps { get; init; } = [];

    /// <summary>How much the keeper really takes for each litre of a planned draw-off.</summary>
    public IReadOnlyList<double> DrawnFactors { get; init; } = [];

    public IReadOnlyList<TrueEvent> Events { get; init; } = [];

    /// <summary>The volume that must not be passed, L.</summary>
    public double MarkLitres => BrimLitres - Prior.FreeboardLitres;

    /// <summary>The waters' difference at the start, µS/cm.</summary>
    public double Apart => Math.Abs(VesselMicrosiemens - TankMicrosiemens);

    /// <summary>About when it would be over if the drip stayed as it is, s: at its mark, or even in a standpipe, or out of time.</summary>
    public double AboutSeconds
    {
        get
        {
            var litresPerSecond = Inflow.MillilitresPerMinute / 60_000;
            var full = StandpipeLitres ?? MarkLitres;
            var seconds = (full - StartLitres) / litresPerSecond;
            if (StandpipeLitres is not null)
            {
                var left = Apart * StartLitres / full / Prior.ToleranceMicrosiemensPerCm;
                seconds += full / litresPerSecond * Math.Log(Math.Max(left, 1));
            }

            return Math.Min(seconds, 0.9 * Seconds);
        }
    }

    public NightPlan Happening(params ReadOnlySpan<TrueEvent> events) => this with { Events = [.. Events, .. events] };
}
