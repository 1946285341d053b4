namespace Evenwater.Core.Estimation;

/// <summary>
/// Temperature as a second tracer: the inflow carries the tank's warmth into the vessel, the room takes some away. It shows the same
/// flow/volume as the conductivity does, and goes on showing it when the conductivities are nearly even.
/// </summary>
internal struct WarmthEvidence
{
    private const double GateSd = 4.5;
    private const double Coldest = -5;
    private const double Hottest = 45;

    /// <summary>Litres of water that a watt warms by 1 K in an hour: 3600 s over 4186 J/(L K).</summary>
    private const double LitresPerWattHour = 3600 / 4186.0;
    private PlainBlock _vessel;
    private PlainBlock _tank;
    private bool _begun;
    private int _rejected;

    /// <summary>The tank's temperature, °C, once it was seen.</summary>
    public double? TankCelsius { get; private set; }

    /// <summary>Whether the vessel's temperature is being followed.</summary>
    public readonly bool Followed => _begun;

    /// <summary>Begins again with the next block.</summary>
    public void Restart() => _begun = false;

    public void Add(in Readings readings)
    {
        _vessel.Add(readings[Channel.VesselTemperature]);
        _tank.Add(readings[Channel.TankTemperature]);
    }

    /// <summary>Conditions <paramref name="sum"/> on the block.</summary>
    public void Apply(GaussianSum sum, Prior prior)
    {
        if (_tank.Close(out var tank, out _) && tank is > Coldest and < Hottest)
        {
            TankCelsius = TankCelsius is { } before ? before + (0.2 * (tank - before)) : tank;
        }

        if (!_vessel.Close(out var vessel, out var variance) || vessel is not (> Coldest and < Hottest) || TankCelsius is null)
        {
            return;
        }

        var noise = variance + (Process.WarmthFloor * Process.WarmthFloor);
        if (!_begun || _rejected > Process.RelockBlocks)
        {
            Begin(sum, prior, vessel, noise);
            return;
        }

        Update(sum, vessel, noise);
    }

    private void Begin(GaussianSum sum, Prior prior, double vessel, double noise)
    {
        for (var i = 0; i < sum.Count; i++)
        {
            var h = sum[i];
            h.Set(State.Warmth, vessel, noise);
            if (!_begun)
            {
                h.Set(State.LnExchange, Math.Log(prior.HeatExchangeWattsPerKelvin * LitresPerWattHour / Math.Sqrt(prior.StartVolumeLitres * prior.BrimLitres)), Process.ExchangeSd * Process.ExchangeSd);
                var sd = prior.RoomCelsius is null ? Process.RoomSd : Process.RoomKnownSd;
                h.Set(State.Surroundings, prior.RoomCelsius ?? Process.RoomMean, sd * sd);
            }
        }

        _begun = true;
        _rejected = 0;
    }

    private void Update(GaussianSum sum, double vessel, double noise)
    {
        Span<double> cross = stackalloc double[State.Size];
        var rejecting = 0.0;
        for (var i = 0; i < sum.Count; i++)
        {
            var h = sum[i];
            var innovation = vessel - h.Mean[State.Warmth];
            var spread = h.Spread(new Sight([State.Warmth], [1]), cross) + noise;
            if (innovation * innovation > GateSd * GateSd * spread)
            {
                rejecting += sum.Weight(i);
                h.LogWeight += Math.Log(Process.WarmthOutlier);
                continue;
            }

            var density = Math.Exp(-0.5 * innovation * innovation / spread) / Math.Sqrt(2 * Math.PI * spread);
            h.LogWeight += Math.Log(density + Process.WarmthOutlier);
            h.Shrink(cross, innovation / spread, 1 / spread);
        }

        _rejected = rejecting > 0.9 ? _rejected + 1 : 0;
        sum.Normalise();
    }
}
