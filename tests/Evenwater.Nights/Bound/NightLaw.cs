using Evenwater.Core.Estimation;
using Evenwater.Nights.Plant;
using static Evenwater.Nights.Bound.EventLaw;

namespace Evenwater.Nights.Bound;

/// <summary>
/// The plant's own law of a night, given what its prior announces: every latent as a function of independent standard normal numbers, as
/// <see cref="Drawing"/>, <see cref="Parts"/> and <see cref="Happenings"/> draw them. What the prior does not announce (both conductivities, and a flow
/// nobody timed) is even in the logarithm.
/// </summary>
internal sealed class NightLaw
{
    /// <summary>Numbers before those of the paths.</summary>
    public const int Fixed = 52;

    /// <summary>Which of the numbers is the probe's lag.</summary>
    public const int Lag = 20;

    /// <summary>Which are the sizes of the paths: sd and time constant of the flow's wander, its walk, sd of the tank's wander.</summary>
    public const int WanderSd = 5;

    public const int WanderSeconds = 6;

    public const int Walk = 7;

    public const int TankSd = 30;

    private const int Event = 38;
    private const int Reopen = 41;
    private const int Draws = 47;
    private const int MostReopened = 6;
    private readonly Prior _prior;
    private readonly EventLaw? _event;
    private readonly bool _falls;
    private readonly double _lnVessel;
    private readonly double _lnTank;
    private readonly int[] _reopened;

    /// <param name="kind">Kind of night.</param>
    /// <param name="prior">What was announced.</param>
    /// <param name="lnVessel">Near what the vessel's probe first read, ln µS/cm; nothing is concluded from it here.</param>
    /// <param name="lnTank">The same of the tank's.</param>
    /// <param name="seconds">Until when, s.</param>
    public NightLaw(string kind, Prior prior, double lnVessel, double lnTank, double seconds)
    {
        (_prior, _lnVessel, _lnTank) = (prior, lnVessel, lnTank);
        _event = EventLaw.Of(kind);
        _falls = kind == "falling-head";
        FlowPieces = (int)Math.Ceiling(seconds / Steps.FlowSeconds);
        TankKnots = (int)Math.Ceiling(seconds / Steps.TankSeconds);
        _reopened = [.. prior.ValveCommands.Where(c => c.Open).Select(c => (int)(c.AtSeconds / Steps.FlowSeconds)).Take(MostReopened)];
    }

    /// <summary>Kinds on which the sampler was seen to be right.</summary>
    public static IReadOnlyList<string> Checked { get; } = ["nominal", "marine", "standpipe", "near-waters", "unequal-waters"];

    /// <summary>Kinds whose law is followed, but on which the sampler is not yet right, or was not checked: what it says of them is no bound.</summary>
    public static IReadOnlyList<string> Unchecked { get; } = ["falling-head", "load-cell", "level-sensor", "surge", "sudden-clog", "slow-clog", "draw-offs"];

    public int FlowPieces { get; }

    public int TankKnots { get; }

    /// <summary>Whether something may happen at an unknown time.</summary>
    public bool HasEvent => _event is not null;

    /// <summary>Which of the numbers are time, size and length of what happens.</summary>
    public static Range EventNumbers => Event..(Event + 3);

    /// <summary>How many numbers a night so long takes.</summary>
    public int Size => Fixed + 1 + (2 * FlowPieces) + TankKnots;

    /// <summary>Latents with room for the paths.</summary>
    public Latents Room() => new() { FlowLn = new double[FlowPieces], TankFactor = new double[TankKnots + 1], Drawn = new double[_prior.DrawOffs.Count] };

    public void Map(ReadOnlySpan<double> u, int zone, Latents to)
    {
        var p = _prior;
        to.ProbeZone = zone;
        to.StartLitres = p.StartVolumeLitres * Math.Exp(p.StartVolumeRelativeSd * u[0]);
        to.BrimLitres = p.BrimLitres * (1 + (p.BrimRelativeSd * u[9]));
        to.MarkLitres = to.BrimLitres - p.FreeboardLitres;
        to.CeilingLitres = Math.Min(p.StandpipeLitres * (1 + (p.StandpipeRelativeSd * u[10])) ?? to.BrimLitres, to.BrimLitres);
        to.FlowMillilitresPerMinute = p.FlowMillilitresPerMinute is { } told ? told * Math.Exp(p.FlowRelativeSd * u[1]) : Logs(P(u[1]), 5.5, 60);
        (to.HeadLoss, to.LaminarShare) = _falls ? (Even(P(u[2]), 0.5, 0.95), P(u[3])) : (Even(P(u[2]), 0.02, 0.4), Even(P(u[3]), 0.2, 1));
        to.TrendPerHour = -0.02 + (0.025 * u[4]);
        to.FlowWanderSd = Logs(P(u[WanderSd]), 0.01, 0.04);
        to.FlowWanderSeconds = Logs(P(u[WanderSeconds]), 600, 3600);
        to.FlowWalk = Logs(P(u[Walk]), 0.003, 0.02);
        to.ReopenSd = Even(P(u[8]), 0, 0.04);
        to.Vessel = Math.Exp(_lnVessel + (0.5 * u[11]));
        to.Tank = Math.Exp(_lnTank + (0.5 * u[12]));
        Mixing(u, to);
        var area = p.VesselAreaSquareMetres ?? 0.04; // and litres for a millimetre
        to.Humidity = Even(P(u[21]), 0.35, 0.7);
        to.SurfaceSquareMetres = area * Even(P(u[22]), 0.15, 1);
        to.RoomCelsius = p.RoomCelsius is { } room ? room + (0.7 * u[23]) : Even(P(u[23]), 18.5, 25.5);
        to.VesselProbe = new(Logs(P(u[24]), 0.0005, 0.0025), Logs(P(u[25]), 600, 2400), Logs(P(u[26]), 0.0001, 0.001));
        to.TankProbe = new(Logs(P(u[27]), 0.0005, 0.0025), Logs(P(u[28]), 600, 2400), Logs(P(u[29]), 0.0001, 0.001));
        to.TankWanderSd = Even(P(u[TankSd]), 0.0003, 0.002);
        (to.LowStickLitres, to.HighStickLitres) = (Stick(u[31], area), Stick(u[32], area));
        to.WaveLitres = area * Logs(P(u[33]), 0.3, 2.5);
        (to.CellGain, to.CellCreep) = (1 + (0.002 * u[34]), Even(P(u[35]), 0.005, 0.025));
        (to.LevelGain, to.LevelCreep) = (1 + (0.005 * u[36]), Even(P(u[37]), 0.2, 1.2));
        _event?.Draw(to, P(u[Event]), P(u[Event + 1]), P(u[Event + 2]), AboutSeconds(to));
        for (var i = 0; i < p.DrawOffs.Count; i++)
        {
            to.Drawn[i] = p.DrawOffs[i].Litres * Math.Exp(p.DrawOffs[i].RelativeSd * u[Draws + i]);
        }

        Paths(u, to);
    }

    private static double P(double u) => Normal.Cumulative(u);

    private static void Mixing(ReadOnlySpan<double> u, Latents to)
    {
        to.SurfaceShare = Even(P(u[13]), 0.05, 0.3);
        to.FloorShare = Even(P(u[14]), 0.03, 0.15);
        to.SurfaceSeconds = Logs(P(u[15]), 15, 200);
        to.FloorSeconds = Logs(P(u[16]), 150, 1000);
        to.StillShare = Even(P(u[17]), 0.15, 0.8);
        to.PlungeShare = Math.Max(P(u[18]) - 0.75, 0) / 0.25 * 0.3;
        to.TouchShare = Math.Max(P(u[19]) - 0.6, 0) / 0.4 * 0.02;
        to.LagSeconds = Logs(P(u[Lag]), 10, 150);
    }

    /// <summary>One float in five sticks the first time, mostly by 2 mm; <paramref name="litresPerMillimetre"/> makes litres of them.</summary>
    private static double Stick(double u, double litresPerMillimetre) =>
        P(u) is var p && p < 0.8 ? 0 : -2 * litresPerMillimetre * Math.Log(Math.Max((1 - p) / 0.2, 1e-9));

    /// <summary>As <see cref="NightPlan.AboutSeconds"/>.</summary>
    private double AboutSeconds(Latents of)
    {
        var litresPerSecond = of.FlowMillilitresPerMinute / 60_000;
        return Math.Min((of.MarkLitres - of.StartLitres) / litresPerSecond, 0.9 * 12 * 3600);
    }

    private void Paths(ReadOnlySpan<double> u, Latents to)
    {
        var keep = Math.Exp(-Steps.FlowSeconds / to.FlowWanderSeconds);
        var kick = to.FlowWanderSd * Math.Sqrt(1 - (keep * keep));
        var walk = HeavySteps.RowOf(to.FlowWalk * Math.Sqrt(Steps.FlowSeconds / 3600));
        (to.FlowWander, to.FlowRest) = (to.FlowWanderSd * u[Fixed], 0);
        var at = Fixed + 1;
        for (var i = 0; i < FlowPieces; i++, at += 2)
        {
            to.FlowWander = (keep * to.FlowWander) + (kick * u[at]);
            to.FlowRest += HeavySteps.Of(u[at + 1], walk);
            for (var j = 0; j < _reopened.Length; j++)
            {
                to.FlowRest += _reopened[j] == i ? to.ReopenSd * u[Reopen + j] : 0;
            }

            to.FlowLn[i] = to.FlowWander + to.FlowRest;
        }

        var slow = Math.Exp(-Steps.TankSeconds / 5400);
        var push = to.TankWanderSd * Math.Sqrt(1 - (slow * slow));
        var wander = to.TankWanderAtStart = to.TankWanderSd * u[Fixed - 1];
        to.TankFactor[0] = 1;
        for (var i = 1; i <= TankKnots; i++, at++)
        {
            wander = (slow * wander) + (push * u[at]);
            to.TankFactor[i] = 1 + wander - to.TankWanderAtStart;
        }
    }
}
