using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Hardware.Rig;
using Evenwater.Running;

namespace Evenwater.Nights.Campaign;

/// <summary>What one night came to, by the rig's own truth.</summary>
internal sealed record Outcome(Kind Kind, Verdict Verdict)
{
    private const double InsistEverySeconds = 600;

    /// <summary>Times the coil opened the valve while the program was being told that a float or the floor is wet.</summary>
    public int WetOpenings { get; private set; }

    /// <summary>Openings in all.</summary>
    public int Openings { get; private set; }

    /// <summary>Whether the water passed this night's own brim less freeboard.</summary>
    public bool PastMark { get; private set; }

    /// <summary>From the fault to the first alarm, trip or event that fits any trouble, s; null when nothing noticed it.</summary>
    public double? NoticedAfter { get; private set; }

    /// <summary>Whether the alarm was raised.</summary>
    public bool Raised(AlarmId alarm) => Verdict.Alarms.Exists(a => a.Alarm == alarm);

    public static Outcome Of(Kind kind, ulong seed)
    {
        var faults = kind.Faults.Select(RigFault.Parse).ToArray();
        var fault = faults.Length == 0 ? double.PositiveInfinity : faults.Min(f => f.AtSeconds);
        var outcome = new Outcome(kind, new Verdict());
        var watch = new Watching(outcome, kind);
        double? eventAt = null;
        var verdict = Rehearsal.Run(
            kind.Station, seed, faults, kind.Hours, null,
            (state, now, _) => eventAt ??= now.Seconds - 1 >= fault && state.Forecast.Events != ForecastEvents.None ? now.Seconds - 1 : null,
            watch: watch.Step, truth: kind.Truth);
        var since = kind.Sign is null ? fault : Math.Max(fault, verdict.ClosedAt ?? fault);
        var told = kind.Sign is { } sign
            ? verdict.Alarms.Where(a => a.Alarm == sign).Select(a => (double?)a.At)
            : verdict.Alarms.Select(a => (double?)a.At).Append(eventAt).Append(verdict.Trip == Trip.None ? null : verdict.ClosedAt);
        return outcome with { Verdict = verdict, NoticedAfter = told.Where(at => at >= since).Min() - since };
    }

    private sealed class Watching(Outcome outcome, Kind kind)
    {
        private readonly double _freeboard = kind.Station.Vessel.FreeboardLitres;
        private bool _wasOpen;
        private double? _closedAt;
        private double _nextInsist;

        public bool Step(SimulatedStation station)
        {
            var at = station.Now.Seconds;
            var open = station.Rig.ValveOpen;
            if (open && !_wasOpen)
            {
                outcome.Openings++;
                outcome.WetOpenings += IsWet(station, Channel.FloatHigh) || IsWet(station, Channel.Leak) ? 1 : 0;
            }

            outcome.PastMark |= station.Rig.VolumeLitres > station.Rig.BrimLitres - _freeboard;
            _closedAt = open ? null : _wasOpen ? at : _closedAt;
            _wasOpen = open;
            if (kind.Insists)
            {
                Insist(station, at);
                return false;
            }

            return _closedAt is { } closed && at - closed > kind.HoursAfterClosing * 3600;
        }

        private void Insist(SimulatedStation station, double at)
        {
            if (station.Loop.State.Phase is not (Phase.Tripped or Phase.Idle or Phase.Holding) || at < _nextInsist || outcome.Openings == 0)
            {
                return;
            }

            _nextInsist = at + InsistEverySeconds;
            _ = station.Loop.Ask(new Asking(Verb.Reset, "keeper"));
            _ = station.Loop.Ask(new Asking(Verb.Begin, "keeper"));
        }

        private static bool IsWet(SimulatedStation station, Channel channel) =>
            station.Loop.State.Readings[channel].TryGet(out var wet) && wet != 0;
    }
}
