using Evenwater.Nights.Plant;

namespace Evenwater.Nights.Bound;

/// <summary>
/// The plant's vessel without chance, in steps of a minute: mean and the differences of surface and floor from the body, which its three zones exchange
/// (<see cref="Vessel"/>), each relaxing exactly towards what the drip makes of it in a step; the head; the standpipe; the probe's lag.
/// </summary>
internal struct MixedWater
{
    private double _surface;
    private double _floor;
    private double _there;
    private double _felt;
    private double _touched;
    private bool _open;

    /// <summary>L.</summary>
    public double Litres;

    /// <summary>Of all water stirred together, µS/cm.</summary>
    public double Mean;

    /// <summary>What the probe shows of it, µS/cm.</summary>
    public double Felt;

    /// <summary>mL/min in the last step, as long as the valve was open.</summary>
    public double Flow;

    public MixedWater(Latents of, bool open)
    {
        (Litres, Mean) = (of.StartLitres, of.Vessel);
        (_felt, _there, _open) = (Mean, Mean, open);
        _touched = open ? of.TouchShare * (of.Tank - Mean) : 0;
        Felt = _felt + _touched;
    }

    /// <summary>One step.</summary>
    /// <param name="of">The night.</param>
    /// <param name="openShare">Share of it with the valve open.</param>
    /// <param name="lnFlow">ln of what time makes of the flow.</param>
    /// <param name="tank">The tank, µS/cm.</param>
    /// <param name="evaporated">L.</param>
    public void Step(Latents of, double openShare, double lnFlow, double tank, double evaporated)
    {
        const double dt = Steps.Seconds;
        var head = Math.Max(1 - (of.HeadLoss * (Litres - of.StartLitres) / (of.BrimLitres - of.StartLitres)), 0);
        var relative = Inflow.Through(head, of.LaminarShare) * Math.Exp(lnFlow);
        Flow = of.FlowMillilitresPerMinute * relative;
        var added = Flow * openShare * dt / 60_000;
        var over = Math.Max(Litres + added - evaporated - of.CeilingLitres, 0);
        Exchange(of, openShare * relative, added, over, tank);
        Mean = ((Mean * Litres) + (added * tank)) / (Litres + added);
        Litres += added;
        Mean *= Litres / (Litres - evaporated);
        Litres -= evaporated;
        Mean -= over / Litres * (Above(of, Vessel.Surface) - Mean);
        Litres -= over;
        var there = Above(of, of.ProbeZone);
        var keep = Math.Exp(-dt / of.LagSeconds);
        var slope = (there - _there) * of.LagSeconds / dt; // the probe follows a straight line from the last step to this one
        _felt = there - slope + ((_felt - _there + slope) * keep);
        _there = there;
        Touch(of, openShare, of.TouchShare * (tank - there), keep);
        Felt = _felt + _touched;
    }

    /// <summary>The drip that touches the probe comes and goes with the valve, at its own moment within the step.</summary>
    private void Touch(Latents of, double openShare, double touch, double keep)
    {
        if (openShare is 0 or 1)
        {
            _open = openShare > 0;
            var target = _open ? touch : 0;
            _touched = target + ((_touched - target) * keep);
            return;
        }

        var (first, then) = _open ? (touch, 0.0) : (0.0, touch);
        var before = (_open ? openShare : 1 - openShare) * Steps.Seconds;
        _touched = first + ((_touched - first) * Math.Exp(-before / of.LagSeconds));
        _touched = then + ((_touched - then) * Math.Exp(-(Steps.Seconds - before) / of.LagSeconds));
        _open = !_open;
    }

    /// <summary>A jug is dipped in.</summary>
    public void Take(double litres)
    {
        (_surface, _floor) = (0, 0);
        Litres -= Math.Min(litres, 0.6 * Litres);
    }

    private readonly double Above(Latents of, int zone) =>
        Mean - (of.SurfaceShare * _surface) - (of.FloorShare * _floor) + (zone == Vessel.Surface ? _surface : zone == Vessel.Floor ? _floor : 0);

    private void Exchange(Latents of, double relative, double added, double over, double tank)
    {
        const double dt = Steps.Seconds;
        var (s, f) = (of.SurfaceShare, of.FloorShare);
        var body = 1 - s - f;
        var lively = of.StillShare + ((1 - of.StillShare) * Math.Min(relative, 2));
        var toBody = dt * lively / of.SurfaceSeconds;
        var toFloor = dt * lively / of.FloorSeconds;
        var part = added / Litres;
        var apart = tank - Above(of, Vessel.Body);
        var plunges = of.PlungeShare;
        var ofSurface = toBody + (part * (((1 - plunges) * ((1 / s) + 1)) + plunges)) + (over / Litres * (1 - s) / s);
        var ofFloor = toFloor + (part * ((plunges * ((1 / f) + 1)) + 1 - plunges));
        var pushSurface = (part * (1 - plunges) / s * apart) - (toFloor * _floor * f / (body + f));
        var pushFloor = (part * plunges / f * apart) - (toBody * _surface * s / (s + body));
        var (keepSurface, keepFloor) = (Math.Exp(-ofSurface), Math.Exp(-ofFloor));
        (_surface, _floor) = (
            (_surface * keepSurface) + (pushSurface * (1 - keepSurface) / ofSurface),
            (_floor * keepFloor) + (pushFloor * (1 - keepFloor) / ofFloor));
    }
}
