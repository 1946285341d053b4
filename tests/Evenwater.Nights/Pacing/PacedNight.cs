using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Hardware.Rig;
using Evenwater.Nights.Plant;
using Evenwater.Running;

namespace Evenwater.Nights.Pacing;

/// <summary>One rehearsed night of a paced station, and how fast its water truly changed. Everything is drawn from the seed: waters, vessel, drip, limits, and what goes wrong.</summary>
internal sealed class PacedNight
{
    private const double LongestHours = 30;
    private const int MinutesApart = 25;
    private const int MinutesMeant = 5;

    private static readonly Station Demo = DemoStation.Read();

    private readonly List<(double Hours, double LitresPerHour)> _drip = [];
    private readonly List<double> _conductivity = [];
    private readonly List<double> _celsius = [];
    private double _sumConductivity;
    private double _sumCelsius;
    private int _summed;
    private double _apart;
    private double _startLitres;
    private int _ended;

    private PacedNight(ulong seed, Station station, IReadOnlyList<RigFault> faults) => (Seed, Station, Faults) = (seed, station, faults);

    public ulong Seed { get; }

    public Station Station { get; }

    public IReadOnlyList<RigFault> Faults { get; }

    public Verdict Verdict { get; private set; } = new();

    public int Pulses { get; private set; }

    /// <summary>From the opening to the true match, h; null when it never came.</summary>
    public double? Hours { get; private set; }

    /// <summary>The optimiser's time on the very same drip, h.</summary>
    public double BestHours { get; private set; }

    /// <summary>How far apart the waters truly were when the run closed as planned, as a multiple of what counts as even; null when it closed otherwise.</summary>
    public double? ApartAtClose => Verdict.ClosedByPlan ? Math.Abs(Verdict.VesselAtClose - Verdict.TankAtClose) / Station.Match.ToleranceMicrosiemensPerCm : null;

    /// <summary>The fastest change, over its limit, of each minute of dripping that has half an hour behind it.</summary>
    public IReadOnlyList<double> OverLimit { get; private set; } = [];

    public static PacedNight Run(ulong seed, bool paced = true)
    {
        var random = new Chance((int)seed);
        var station = Draw(random);
        var night = new PacedNight(seed, paced ? station : station with { Pacing = null }, DrawFaults(random));
        night.Verdict = Rehearsal.Run(night.Station, seed, night.Faults, LongestHours, null, watch: night.Watch, layers: Layers.All);
        night.Judge();
        return night;
    }

    /// <summary>
    /// A drip of several times what the limits allow at first, in a vessel in which the match leaves a fifth of the room or more. The limits are those of usual practice, near enough.
    /// </summary>
    private static Station Draw(Chance random)
    {
        var start = random.Between(1.2, 2.5);
        var apart = random.Between(120, 500);
        var times = random.Between(3, 5);
        var (tank, rises) = (random.Between(150, 500), random.Happens(0.3));
        var celsius = random.Between(22, 26);
        var bag = celsius - random.Between(0.3, 2.5);
        var room = bag + random.Between(-1, 1.5); // further off, and the room alone would break the gentler limits
        var mark = (start * times) + (0.25 * start * times);
        var brim = mark + 1.2;
        return Demo with
        {
            Vessel = Demo.Vessel with { StartVolumeLitres = start, StartVolumeSdLitres = 0.02 * start, BrimLitres = brim },
            Drip = Demo.Drip with { FlowMillilitresPerMinute = random.Between(30, 100) },
            Match = Demo.Match with { ToleranceMicrosiemensPerCm = apart / times },
            Waters = Demo.Waters with
            {
                BagMicrosiemensPerCm = rises ? tank : tank + apart,
                TankMicrosiemensPerCm = rises ? tank + apart : tank,
                BagTemperatureCelsius = bag,
                TankTemperatureCelsius = celsius,
            },
            Room = Demo.Room with { TemperatureCelsius = room },
            Floats = new Floats { LowLitres = start * 2, HighLitres = mark + 0.5, PositionSdLitres = 0.12 },
            Source = Demo.Source with { MaxDrawLitres = 100, IntakeDepthMillimetres = 0.79 * (brim - start) / Demo.Source.SurfaceAreaSquareMetres },
            Limits = new Limits { MicrosiemensPerCmPerHour = random.Between(60, 160), CelsiusPerHour = random.Between(1, 2.5) },
            Safety = Demo.Safety with { MaxOpenMinutes = 2000, MaxInflowLitres = mark - start },
            Pacing = new Core.Stations.Pacing { Path = PacePath.Limits },
        };
    }

    /// <summary>One or two of what changes a drip; in every fifth night nothing.</summary>
    private static List<RigFault> DrawFaults(Chance random)
    {
        var faults = new List<RigFault>();
        var count = random.Between(0, 1) switch { < 0.2 => 0, < 0.7 => 1, _ => 2 };
        for (var i = 0; i < count; i++)
        {
            var kind = random.OneOf(FaultKind.SlowClog, FaultKind.SuddenClog, FaultKind.SiphonSurge, FaultKind.FallingHead);
            faults.Add(new RigFault(kind, random.Between(0.1, 4) * 3600));
        }

        return faults;
    }

    private bool Watch(SimulatedStation simulated)
    {
        var (state, rig) = (simulated.Loop.State, simulated.Rig);
        var seconds = simulated.Now.SecondsSince(MonotonicTime.FromSeconds(1));
        if (state.Phase != Phase.Dripping)
        {
            _ended += Verdict.OpenedAt is null && _conductivity.Count == 0 ? 0 : 1;
            return _ended > 240;
        }

        if (_apart == 0)
        {
            (_apart, _startLitres) = (Math.Abs(rig.VesselEc25 - rig.TankEc25), rig.VolumeLitres);
        }

        if (rig.ValveOpen && rig.InflowMillilitresPerMinute > 0 && (_drip.Count == 0 || (seconds / 3600) - _drip[^1].Hours > 0.01))
        {
            _drip.Add((seconds / 3600, rig.InflowMillilitresPerMinute * 0.06));
        }

        // Minute means of the truth.
        _sumConductivity += rig.VesselEc25;
        _sumCelsius += rig.VesselCelsius;
        if (++_summed == (int)(60 / SimulatedStation.StepSeconds))
        {
            _conductivity.Add(_sumConductivity / _summed);
            _celsius.Add(_sumCelsius / _summed);
            (_sumConductivity, _sumCelsius, _summed) = (0, 0, 0);
        }

        Pulses = state.Pulses;
        return false;
    }

    private void Judge()
    {
        Hours = (Verdict.TrueMatchAt - Verdict.OpenedAt) / 3600;
        var limits = Station.Limits;
        var over = new List<double>();
        for (var i = MinutesApart + MinutesMeant; i <= _conductivity.Count; i++)
        {
            over.Add(Math.Max(PerHour(_conductivity, i) / limits.MicrosiemensPerCmPerHour!.Value, PerHour(_celsius, i) / limits.CelsiusPerHour!.Value));
        }

        OverLimit = over;
        if (_drip.Count > 0 && Verdict.OpenedAt is { } opened)
        {
            var waters = Station.Waters;
            var room = Station.Vessel.HeatExchangeWattsPerKelvin / 1.158; // Wh/(L K), water at 25 °C
            BestHours = BestCourse.Hours(
                new BestCase(
                    _startLitres, _apart, Station.Match.ToleranceMicrosiemensPerCm!.Value, waters.BagTemperatureCelsius, waters.TankTemperatureCelsius, Station.Room.TemperatureCelsius, room,
                    limits.MicrosiemensPerCmPerHour!.Value, limits.CelsiusPerHour!.Value),
                hours => Drip((opened / 3600) + hours), LongestHours);
        }
    }

    /// <summary>As the station's own watch counts it: the difference of two five-minute means 25 minutes apart.</summary>
    private static double PerHour(List<double> minutes, int end) =>
        Math.Abs(minutes.GetRange(end - MinutesMeant, MinutesMeant).Average() - minutes.GetRange(end - MinutesMeant - MinutesApart, MinutesMeant).Average()) * 60 / MinutesApart;

    /// <summary>What the open drip gave last before, or first after.</summary>
    private double Drip(double hours)
    {
        var last = _drip[0].LitresPerHour;
        foreach (var (at, litres) in _drip)
        {
            if (at > hours)
            {
                break;
            }

            last = litres;
        }

        return last;
    }
}
