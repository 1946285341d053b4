using Evenwater.Commands;
using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Hardware.Rig;
using Evenwater.Running;

namespace Evenwater.Nights.Faults;

/// <summary>
/// A night in which nothing is wrong. A trip in it is needless when the water, in truth, would not have come to the mark within the trip's horizon
/// at the flow there then was. Told apart: a trip on a forecast whose 90 % range of the volume did hold the truth, which is an early close by honest doubt.
/// </summary>
internal sealed record NormalNight(Station Station, ulong Seed, Verdict Verdict)
{
    /// <summary>The demo as it is: 9.0 L wanted of 10.4, so the doubt about the volume must stay under a seventh.</summary>
    public static readonly Station River = DemoStation.Read();

    /// <summary>The demo content with 50 µS/cm: 7.2 L wanted of 10.4, a night that fits with room to spare.</summary>
    public static readonly Station Roomy = River with { Match = River.Match with { ToleranceMicrosiemensPerCm = 50 } };

    /// <summary>A night from evening to morning, h.</summary>
    private const double Hours = 13;

    private int _ended;

    public Trip Trip => Verdict.Trip;

    /// <summary>Truth at the trip: water, L.</summary>
    public double Litres { get; private set; }

    /// <summary>Truth at the trip: this vessel's own brim less the freeboard, L.</summary>
    public double MarkLitres { get; private set; }

    /// <summary>What the program then believed, L.</summary>
    public Quantiles Believed { get; private set; }

    /// <summary>Whether the trip was due.</summary>
    public bool NearMark { get; private set; }

    /// <summary>Whether it was an early close by honest doubt.</summary>
    public bool HonestDoubt => Trip == Trip.OverflowForecast && !NearMark && Litres >= Believed.P05 && Litres <= Believed.P95;

    /// <summary>Whether it was neither.</summary>
    public bool Needless => Trip != Trip.None && !NearMark && !HonestDoubt;

    public static NormalNight Run(Station station, ulong seed)
    {
        var night = new NormalNight(station, seed, new Verdict());
        var verdict = Rehearsal.Run(station, seed, [], Hours, null, watch: night.Step, layers: Layers.All);
        return night with { Verdict = verdict };
    }

    public override string ToString() =>
        $"seed {Seed}: {Words.Of(Trip)} after {Verdict.ClosedAt / 3600:0.00} h at {Litres:0.00} L of {MarkLitres:0.00}, believed {Believed.P05:0.00} to {Believed.P95:0.00} L";

    private bool Step(SimulatedStation station)
    {
        var (state, rig) = (station.Loop.State, station.Rig);
        if (state.Phase == Phase.Tripped && MarkLitres == 0)
        {
            (Litres, MarkLitres, Believed) = (rig.VolumeLitres, rig.BrimLitres - Station.Vessel.FreeboardLitres, state.Forecast.VolumeLitres);
            NearMark = Litres + (rig.InflowMillilitresPerMinute / 60_000 * Station.Safety.TripHorizonSeconds) >= MarkLitres;
        }

        // A while longer, so that the verdict has seen the end too.
        _ended += state.Phase == Phase.Tripped || (state.Phase == Phase.Holding && state.WasEven) ? 1 : 0;
        return _ended > 10;
    }
}
