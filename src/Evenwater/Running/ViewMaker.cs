using Evenwater.Core;
using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Core.Telling;
using Evenwater.Page;
using Evenwater.Page.Charts;
using Evenwater.Page.Opening;

namespace Evenwater.Running;

/// <summary>Makes what is shown of a station out of its state. Called by the station's own thread.</summary>
/// <param name="clock">The station's.</param>
/// <param name="restart">What went on before this start of the program, if it began with a run.</param>
internal sealed class ViewMaker(StationClock clock, Restart? restart = null)
{
    private readonly RunHistory _history = restart?.Past.History ?? new();
    private long? _run = restart?.RunId;

    /// <summary>The view of this moment.</summary>
    public StationView Make(StationLoop loop, MonotonicTime now)
    {
        var state = loop.State;
        var wall = clock.WallAt(now);
        if (state.Run?.RunId != _run)
        {
            _run = state.Run?.RunId;
            _history.Clear();
        }

        var zero = state.Run is null ? default : state.StartedAt;
        _history.Add(Point(state, now.SecondsSince(zero)));
        return new StationView
        {
            Name = state.Station.Name,
            Simulated = clock.Simulated,
            Speed = clock.Speed,
            Now = clock.Shown(now),
            Turned = now,
            ClockKnown = wall is not null,
            Zone = clock.Zone,
            NowSeconds = now.SecondsSince(zero),
            ElapsedSeconds = state.Run is null || state.Phase is Phase.Finished or Phase.Abandoned ? null : now.SecondsSince(zero),
            Word = loop.Say.Word,
            Sentence = loop.Say.Text,
            Did = loop.Say.Did,
            Do = loop.Say.Act,
            ByWhen = loop.Say.WithinSeconds is { } within ? clock.WallAt(loop.SaidAt.Plus(within)) : null,
            HowSoon = wall is null && loop.Say.WithinSeconds is { } left ? Soon(left - now.SecondsSince(loop.SaidAt)) : null,
            Phase = state.Phase == Phase.Tripped ? $"tripped: {Words.Of(state.Trip)}" : Words.Of(state.Phase),
            ValveOpen = state.Phase == Phase.Dripping,
            ValveRests = state.Phase == Phase.Dripping && !state.HoldsOpen,
            Values = Values(state, now),
            History = _history.Snapshot(),
            Forecast = Estimates(state) ? state.Forecast : null,
            MatchCannotTell = state.MatchCannotTell,
            ToleranceMicrosiemensPerCm = state.Run?.Prior.ToleranceMicrosiemensPerCm,
            EvenByShare = ShareOf(state),
            MarkLitres = state.Station.Vessel.BrimLitres - state.Station.Vessel.FreeboardLitres,
            BrimLitres = state.Station.Vessel.BrimLitres,
            StandpipeLitres = state.Station.Vessel.Mode == VesselMode.Standpipe ? state.Station.Vessel.StandpipeLitres : null,
            Budgets = Budgets(state),
            Events = loop.Events.Since(zero),
            Opens = OpensOf(state),
            Beginning = Begins(state, now),
            Alarms = loop.Shown.Alarms.Lines,
            Proof = loop.Proof.Sentence(wall),
            CautionsShown = !loop.CautionsDismissed,
            AlarmFigures = AlarmsText.Figures(loop.Shown.Alarms.Measures),
        };
    }

    /// <summary>The state as one point of the past.</summary>
    public static HistoryPoint Point(StationState state, double seconds)
    {
        var readings = state.Readings;
        var known = Estimates(state);
        var volume = known ? state.Forecast.VolumeLitres : default;
        return new HistoryPoint(
            seconds,
            Good(readings[Channel.VesselConductivity]), Good(readings[Channel.TankConductivity]),
            Good(readings[Channel.VesselTemperature]), Good(readings[Channel.TankTemperature]),
            known ? volume.P05 : null, known ? volume.P50 : null, known ? volume.P95 : null);
    }

    /// <summary>Whether anything is known of the water in the vessel: when a run is over it is poured away.</summary>
    private static bool Estimates(StationState state) => state.HasForecast && state.Phase is not (Phase.Finished or Phase.Abandoned);

    /// <summary>The share that makes the waters even where they conduct nearly alike; null elsewhere, and before the first forecast.</summary>
    internal static double? ShareOf(StationState state) => state is { HasForecast: true, Forecast: { JudgedByReplacedFraction: true, ReplacedWanted: var share } } ? share : null;

    /// <summary>Of a drip of 0.5 mL/min a tenth is a fifth.</summary>
    internal static int DripDecimals(double? millilitresPerMinute) => millilitresPerMinute < 2 ? 2 : 1;

    private static string Soon(double seconds) => seconds < 60 ? "now" : $"within {TimeWords.Span(seconds)}";

    private static double? Good(in Reading reading) => reading.TryGet(out var value) ? value : null;

    private static List<ValueLine> Values(StationState state, MonotonicTime now)
    {
        var readings = state.Readings;
        List<ValueLine> lines = [];
        AddProbe(Channel.VesselConductivity, 0);
        AddProbe(Channel.TankConductivity, 0);
        AddProbe(Channel.VesselTemperature, 1);
        AddProbe(Channel.TankTemperature, 1);
        AddProbe(Channel.Mass, 2);
        AddProbe(Channel.Level, 0);
        AddProbe(Channel.TankLight, 0);
        if (Estimates(state))
        {
            var age = now.SecondsSince(state.EvaluatedAt);
            var (volume, flow) = (state.Forecast.VolumeLitres, state.Forecast.FlowMillilitresPerMinute);
            lines.Add(new ValueLine("Water in the vessel", volume.P50, "L", age) { P05 = volume.P05, P95 = volume.P95, Decimals = LitresForm.Decimals(state.Station.Vessel.BrimLitres), StaleAfterSeconds = 90 });
            // Where the valve is closed, or rests now and then, it is what would run.
            lines.Add(new ValueLine(state.Phase == Phase.Dripping && !state.IsPaced ? "Inflow" : "Inflow while open", flow.P50, "mL/min", age) { P05 = flow.P05, P95 = flow.P95, Decimals = DripDecimals(state.Station.Drip.FlowMillilitresPerMinute), StaleAfterSeconds = 90 });
        }

        AddSwitch(Channel.FloatLow);
        AddSwitch(Channel.FloatHigh);
        AddSwitch(Channel.Leak);
        return lines;

        void AddProbe(Channel channel, int decimals)
        {
            var (reading, look) = (readings[channel], ChannelLook.Of(channel));
            if (reading.Reason != Reason.NotFitted)
            {
                lines.Add(new ValueLine(look.Label, Good(reading), look.Unit, Age(reading), reading.IsGood ? null : Words.Of(reading.Reason)) { Decimals = decimals });
            }
        }

        void AddSwitch(Channel channel)
        {
            var reading = readings[channel];
            if (reading.Reason != Reason.NotFitted)
            {
                lines.Add(new ValueLine(ChannelLook.Of(channel).Label, null, "", Age(reading), reading.IsGood ? null : Words.Of(reading.Reason))
                {
                    Text = reading.TryGet(out var wet) ? wet != 0 ? "wet" : "dry" : null,
                });
            }
        }

        double? Age(in Reading reading) => Math.Max(now.SecondsSince(reading.TakenAt), 0);
    }

    private static Beginning Begins(StationState state, MonotonicTime now)
    {
        var (station, tank) = (state.Station, state.Readings[Channel.TankConductivity]);
        return new Beginning(
            station.Vessel.StartVolumeLitres, station.Vessel.StartVolumeSdLitres, StartKnown.MostStartLitres(station), station.Drip.FlowMillilitresPerMinute,
            station.Sensors.TankConductivity is null ? null
                : new ValueLine("Tank conductivity", Good(tank), "µS/cm at 25 °C", Math.Max(now.SecondsSince(tank.TakenAt), 0), tank.IsGood ? null : Words.Of(tank.Reason)));
    }

    // As the cycle goes by: what latches bars a begin from when it is seen, and water through a closed valve is seen until a reset.
    private static Opens OpensOf(StationState state) => state.Phase switch
    {
        Phase.Tripped => Opens.Reset,
        Phase.Armed or Phase.Dripping => Opens.Nothing,
        _ when state.IsLatched => Opens.Reset,
        Phase.Holding when state.Run is not null => Opens.GoOn,
        _ => Opens.Begin,
    };

    private static List<Budget> Budgets(StationState state) => state.Run is null
        ? []
        :
        [
            new Budget("Valve open", state.OpenSeconds / 60, state.Station.Safety.MaxOpenMinutes, "min"),
            new Budget("Water let in", state.InflowLitres, InflowBudget.Litres(state), "L", LitresForm.Decimals(InflowBudget.Litres(state))),
        ];
}
