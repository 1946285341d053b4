namespace Evenwater.Nights.Bound;

/// <summary>
/// The likelihood of what a sensor read too much, block by block: a wander that comes back, a constant that walks, and noise. Both are integrated out
/// exactly by the Kalman filter (Kalman 1960).
/// </summary>
internal ref struct SlowError
{
    private readonly double _keep;
    private readonly double _kick;
    private readonly double _walk;
    private double _wander;
    private double _constant;
    private double _wanderVariance;
    private double _constantVariance;
    private double _cross;

    /// <param name="wanderSd">sd of the wander.</param>
    /// <param name="wanderSeconds">Its time constant.</param>
    /// <param name="walkSdPerRootHour">The constant's walk.</param>
    /// <param name="constantSd">sd of the constant at the start.</param>
    /// <param name="stepSeconds">From one reading to the next, s.</param>
    public SlowError(double wanderSd, double wanderSeconds, double walkSdPerRootHour, double constantSd, double stepSeconds)
    {
        _keep = Math.Exp(-stepSeconds / wanderSeconds);
        _wanderVariance = wanderSd * wanderSd;
        _kick = _wanderVariance * (1 - (_keep * _keep));
        _walk = walkSdPerRootHour * walkSdPerRootHour * stepSeconds / 3600;
        _constantVariance = constantSd * constantSd;
    }

    /// <summary>-ln likelihood so far, less a constant.</summary>
    public double Unlikely { get; private set; }

    /// <summary>The next block.</summary>
    /// <param name="error">Read less expected; NaN when nothing was read.</param>
    /// <param name="noise">Variance of the block's mean.</param>
    /// <returns>Surprise in standard deviations.</returns>
    public double Next(double error, double noise)
    {
        var surprise = 0.0;
        if (!double.IsNaN(error))
        {
            var (ofWander, ofConstant) = (_wanderVariance + _cross, _constantVariance + _cross);
            var variance = ofWander + ofConstant + noise;
            var innovation = error - _wander - _constant;
            surprise = innovation / Math.Sqrt(variance);
            Unlikely += 0.5 * ((surprise * surprise) + Math.Log(variance));
            _wander += ofWander * innovation / variance;
            _constant += ofConstant * innovation / variance;
            _wanderVariance -= ofWander * ofWander / variance;
            _constantVariance -= ofConstant * ofConstant / variance;
            _cross -= ofWander * ofConstant / variance;
        }

        _wander *= _keep;
        _cross *= _keep;
        _wanderVariance = (_keep * _keep * _wanderVariance) + _kick;
        _constantVariance += _walk;
        return surprise;
    }
}
