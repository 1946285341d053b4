namespace Evenwater.Core.Estimation;

/// <summary>
/// A load cell or a level sensor: each sees the volume beside an error of its zero that hardly changes. What it shows grows with the volume and the state holds its logarithm,
/// so the update is made anew about where it led (iterated extended Kalman filter: Bar-Shalom, Li and Kirubarajan, "Estimation with Applications to
/// Tracking and Navigation", 2001, section 10.5): one about a guess by eye was wrong by many of the spreads that it left.
/// </summary>
internal struct VolumeEvidence
{
    private const double GateSd = 5;
    private const int Turns = 4; // the last moves it by less than a hundredth of the spread, from any guess a keeper makes
    private readonly Channel _channel;
    private readonly int _offset;
    private readonly double _perLitre;
    private readonly double _offsetSd;
    private readonly double _floor;
    private PlainBlock _block;
    private bool _begun;
    private int _rejected;

    /// <param name="channel">Where it is read.</param>
    /// <param name="offset">The component that is the error of its zero.</param>
    /// <param name="perLitre">What it shows per litre; 0 when that is not known and it cannot be used.</param>
    /// <param name="offsetSd">Standard deviation of that error at first.</param>
    /// <param name="floor">A block is never trusted better than this.</param>
    public VolumeEvidence(Channel channel, int offset, double perLitre, double offsetSd, double floor)
    {
        (_channel, _offset, _perLitre, _offsetSd, _floor) = (channel, offset, perLitre, offsetSd, floor);
    }

    /// <summary>Begins again with the next block.</summary>
    public void Restart() => _begun = false;

    public void Add(in Readings readings)
    {
        if (_perLitre > 0)
        {
            _block.Add(readings[_channel]);
        }
    }

    /// <summary>Conditions <paramref name="sum"/> on the block.</summary>
    /// <returns>Whether it showed anything.</returns>
    public bool Apply(GaussianSum sum)
    {
        if (!_block.Close(out var measured, out var variance))
        {
            return false;
        }

        if (!_begun || _rejected > Process.RelockBlocks)
        {
            for (var i = 0; i < sum.Count; i++)
            {
                sum[i].Set(_offset, 0, _offsetSd * _offsetSd);
            }

            _begun = true;
            _rejected = 0;
        }

        var noise = variance + (_floor * _floor);
        Span<double> cross = stackalloc double[State.Size];
        var rejecting = 0.0;
        for (var i = 0; i < sum.Count; i++)
        {
            var h = sum[i];
            var lnVolume = h.Mean[State.LnVolume];
            var (innovation, spread) = (0.0, 1.0);
            for (var turn = 0; turn < Turns; turn++)
            {
                var shown = Math.Exp(Math.Clamp(lnVolume, -7, 12)) * _perLitre;
                innovation = measured - shown + (shown * (lnVolume - h.Mean[State.LnVolume])) - h.Mean[_offset];
                spread = h.Spread(new Sight([State.LnVolume, _offset], [shown, 1]), cross) + noise;
                lnVolume = h.Mean[State.LnVolume] + (cross[State.LnVolume] * innovation / spread);
            }

            var outlier = 1e-3 / (3 * Math.Sqrt(noise) + _offsetSd);
            if (innovation * innovation > GateSd * GateSd * spread)
            {
                rejecting += sum.Weight(i);
                h.LogWeight += Math.Log(outlier);
                continue;
            }

            var density = Math.Exp(-0.5 * innovation * innovation / spread) / Math.Sqrt(2 * Math.PI * spread);
            h.LogWeight += Math.Log(density + outlier);
            h.Shrink(cross, innovation / spread, 1 / spread);
        }

        _rejected = rejecting > 0.9 ? _rejected + 1 : 0;
        sum.Normalise();
        return _rejected == 0;
    }
}
