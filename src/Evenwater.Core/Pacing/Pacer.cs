namespace Evenwater.Core.Pacing;

/// <summary>
/// Opens the valve in pulses so that the vessel follows its path in conductivity and temperature: open while both are behind, closed as soon as one is not. What comes through
/// is measured, so a drip that clogs or surges is met by longer or shorter pulses, and the forecast only says what the probes can not show yet. In doubt, closed.
/// </summary>
/// <remarks>It can only keep shut what the cycle would hold open: whatever trips closes as it does without pacing.</remarks>
internal struct Pacer
{
    /// <summary>Before the first forecast: a vessel's share of inflow in a second, 1/s; of 1.5 L at 15 mL/min.</summary>
    private const double UsualShare = 1.7e-4;

    /// <summary>A thermometer moves in steps of a sixteenth of a degree (DS18B20 data sheet, 12 bits): the path may lead by more than one of them, or it would wait for a reading that can not come.</summary>
    private const double ThermometerStepsCelsius = 0.1;

    /// <summary>
    /// A conductivity probe scatters by some 0.4 % of what it reads, of which the smoothing leaves a sixth: the path may lead by twice that more. Where that is much beside a pulse, as in sea water, a path that
    /// is pulled back by what scatters alone leads nowhere; by more, the animals' limit is passed more often when the drip surges.
    /// </summary>
    private const double ScatterShare = 0.0015;

    private PacedTrack _conductivity;
    private PacedTrack _temperature;
    private Pace _pace;
    private MonotonicTime _turnedAt;
    private MonotonicTime _openedAt;
    private MonotonicTime? _endedAt;
    private bool _paced;

    /// <summary>Whether the valve is to be open now.</summary>
    public bool Open { get; private set; }

    /// <summary>Pulses begun in this run.</summary>
    public int Pulses { get; private set; }

    /// <summary>Forgets the last run.</summary>
    public void Clear() => this = default;

    /// <summary>The drip stands still, for whatever reason: the next pulse begins a new one.</summary>
    public void Stop() => (Open, _endedAt) = (false, null);

    /// <summary>How long the path has ended at the limit of a whole run, short of the tank's water, s; 0 when it has not.</summary>
    public readonly double EndedSeconds(MonotonicTime now) => _endedAt is { } at ? now.SecondsSince(at) : 0;

    /// <summary>Where the conductivity's path began, µS/cm at 25 °C; null where none is followed.</summary>
    public readonly double? FromMicrosiemensPerCm => _conductivity.Start;

    /// <summary>Where the temperature's path began, °C; null where none is followed.</summary>
    public readonly double? FromCelsius => _temperature.Start;

    /// <summary>How fast and how far this run goes; null before its first reading.</summary>
    public readonly Pace? Pace => _paced ? _pace : null;

    /// <summary>Judges anew; once a cycle while the run drips.</summary>
    /// <param name="state">The station.</param>
    /// <param name="valveWasOpen">Whether the valve was open since the last cycle.</param>
    /// <param name="seconds">How long that is, s.</param>
    /// <param name="now">The cycle's time.</param>
    public void Step(StationState state, bool valveWasOpen, double seconds, MonotonicTime now)
    {
        var pacing = state.Station.Pacing!;
        if (!Follow(state, valveWasOpen, seconds, out var behind))
        {
            Turn(false, now);
            return;
        }

        _endedAt = _conductivity.Ended || _temperature.Ended ? _endedAt ?? now : null;
        var since = now.SecondsSince(_turnedAt);
        var fresh = Pulses == 0;
        if (Open)
        {
            if (!behind && since >= pacing.LeastPulseSeconds)
            {
                Turn(false, now);
            }
        }
        else if (behind && (fresh || (since >= pacing.LeastPulseSeconds && now.SecondsSince(_openedAt) >= 3600 / pacing.MostPulsesPerHour)))
        {
            Turn(true, now);
            (_openedAt, Pulses) = (now, Pulses + 1);
        }
    }

    /// <summary>Moves both tracks on. False when a probe that paces gives nothing to go by.</summary>
    private bool Follow(StationState state, bool valveWasOpen, double seconds, out bool behind)
    {
        behind = false;
        var readings = state.Readings;
        double? byHand = state.Run!.Prior.TankMicrosiemensPerCm;
        var hasTank = readings[Channel.TankConductivity].TryGet(out var tank) || byHand is not null;
        tank = byHand ?? tank;
        var hasCelsius = readings[Channel.TankTemperature].TryGet(out var tankCelsius) & readings[Channel.VesselTemperature].TryGet(out var celsius);
        if (!readings[Channel.VesselConductivity].TryGet(out var vessel) || !hasTank)
        {
            return false;
        }

        if (!_paced)
        {
            _pace = Pacing.Pace.Of(state.Station, vessel, tank, hasCelsius ? celsius : 0, hasCelsius ? tankCelsius : 0);
            _paced = true;
        }

        var warm = double.IsFinite(_pace.CelsiusPerHour) && readings[Channel.TankTemperature].Reason != Reason.NotFitted;
        if (warm && !hasCelsius)
        {
            return false;
        }

        var share = Share(state);
        var lead = Math.Max(3600 / state.Station.Pacing!.MostPulsesPerHour, state.Station.Pacing.LeastPulseSeconds) + 30;
        behind = Behind(ref _conductivity, vessel, tank, _pace.MicrosiemensPerCmPerHour, _pace.TotalMicrosiemensPerCm, lead + (ScatterShare * vessel / _pace.MicrosiemensPerCmPerHour * 3600))
            & (!warm || Behind(ref _temperature, celsius, tankCelsius, _pace.CelsiusPerHour, _pace.TotalCelsius, Math.Max(lead, ThermometerStepsCelsius / _pace.CelsiusPerHour * 3600)));
        return true;

        bool Behind(ref PacedTrack track, double value, double target, double perHour, double total, double mostLead)
        {
            if (double.IsPositiveInfinity(perHour) && double.IsPositiveInfinity(total))
            {
                return true;
            }

            track.Step(value, target, perHour / 3600, total, share, valveWasOpen, seconds, mostLead);
            return track.IsBehind(target, perHour / 3600);
        }
    }

    private static double Share(StationState state) => state.HasForecast
        ? state.Forecast.FlowMillilitresPerMinute.P50 / 60_000 / Math.Max(state.Forecast.VolumeLitres.P50, 1e-3)
        : state.Run!.Prior is { FlowMillilitresPerMinute: { } flow, StartVolumeLitres: var litres } ? flow / 60_000 / litres : UsualShare;

    private void Turn(bool open, MonotonicTime now)
    {
        if (open != Open)
        {
            (Open, _turnedAt) = (open, now);
        }
    }
}
