namespace Evenwater.Core.Estimation;

/// <summary>The derivative of one step: most components stay as they are, eight depend on a few others.</summary>
internal struct Transition
{
    private const int N = State.Size;
    private const int Rows = 7;
    private double _volumeOfVolume;
    private double _volumeOfFlow;
    private double _flowOfFlow;
    private double _flowOfDrift;
    private double _flowOfHead;
    private double _flowOfVolume;
    private double _mixedOfMixed;
    private double _mixedOfTank;
    private double _mixedOfVolume;
    private double _mixedOfFlow;
    private double _probeOfProbe;
    private double _probeOfMixed;
    private double _probeOfTank;
    private double _probeOfVolume;
    private double _probeOfFlow;
    private double _slowOfSlow;
    private double _slowOfMixed;
    private double _slowOfTank;
    private double _slowOfVolume;
    private double _slowOfFlow;
    private double _keptOfVolume;
    private bool _warms;
    private double _warmOfWarm;
    private double _warmOfVolume;
    private double _warmOfFlow;
    private double _warmOfExchange;
    private double _warmOfSurroundings;

    public double Drift;
    public double Wander;

    public void SetVolume(double ofVolume, double ofFlow) => (_volumeOfVolume, _volumeOfFlow) = (ofVolume, ofFlow);

    /// <summary>The first water's share depends on volume and flow alike, the other way round.</summary>
    public void SetKept(double ofVolume) => _keptOfVolume = ofVolume;

    public void SetFlow(double ofFlow, double ofDrift, double ofHead, double ofVolume) =>
        (_flowOfFlow, _flowOfDrift, _flowOfHead, _flowOfVolume) = (ofFlow, ofDrift, ofHead, ofVolume);

    public void SetMixed(double ofMixed, double ofTank, double ofVolume, double ofFlow) =>
        (_mixedOfMixed, _mixedOfTank, _mixedOfVolume, _mixedOfFlow) = (ofMixed, ofTank, ofVolume, ofFlow);

    public void SetProbe(double ofProbe, double ofMixed, double ofTank, double ofVolume, double ofFlow) =>
        (_probeOfProbe, _probeOfMixed, _probeOfTank, _probeOfVolume, _probeOfFlow) = (ofProbe, ofMixed, ofTank, ofVolume, ofFlow);

    public void SetSlow(double ofSlow, double ofMixed, double ofTank, double ofVolume, double ofFlow) =>
        (_slowOfSlow, _slowOfMixed, _slowOfTank, _slowOfVolume, _slowOfFlow) = (ofSlow, ofMixed, ofTank, ofVolume, ofFlow);

    public void SetWarmth(double ofWarm, double ofVolume, double ofFlow, double ofExchange, double ofSurroundings)
    {
        _warms = true;
        (_warmOfWarm, _warmOfVolume, _warmOfFlow, _warmOfExchange, _warmOfSurroundings) = (ofWarm, ofVolume, ofFlow, ofExchange, ofSurroundings);
    }

    /// <summary>P becomes F P Fᵀ: rows first, then columns.</summary>
    public readonly void Apply(Hypothesis h)
    {
        var p = h.Covariance.AsSpan(0, N * N);
        Span<double> rows = stackalloc double[Rows * N];
        var active = h.Active;
        for (var j = 0; j < active; j++)
        {
            var (v, q) = (p[(State.LnVolume * N) + j], p[(State.LnFlow * N) + j]);
            var (m, t) = (p[(State.Mixed * N) + j], p[(State.Tank * N) + j]);
            rows[j] = (_volumeOfVolume * v) + (_volumeOfFlow * q);
            rows[N + j] = (_flowOfFlow * q) + (_flowOfVolume * v) + (_flowOfDrift * p[(State.Drift * N) + j]) + (_flowOfHead * p[(State.Head * N) + j]);
            rows[(2 * N) + j] = (_mixedOfMixed * m) + (_mixedOfTank * t) + (_mixedOfVolume * v) + (_mixedOfFlow * q);
            rows[(3 * N) + j] = (_probeOfProbe * p[(State.Probe * N) + j]) + (_probeOfMixed * m) + (_probeOfTank * t) + (_probeOfVolume * v) + (_probeOfFlow * q);
            rows[(5 * N) + j] = (_slowOfSlow * p[(State.Slow * N) + j]) + (_slowOfMixed * m) + (_slowOfTank * t) + (_slowOfVolume * v) + (_slowOfFlow * q);
            rows[(6 * N) + j] = p[(State.LnKept * N) + j] + (_keptOfVolume * (v - q));
            rows[(4 * N) + j] = !_warms ? p[(State.Warmth * N) + j] : (_warmOfWarm * p[(State.Warmth * N) + j]) + (_warmOfVolume * v) + (_warmOfFlow * q)
                + (_warmOfExchange * p[(State.LnExchange * N) + j]) + (_warmOfSurroundings * p[(State.Surroundings * N) + j]);
        }

        for (var j = 0; j < active; j++)
        {
            p[(State.LnVolume * N) + j] = rows[j];
            p[(State.LnFlow * N) + j] = rows[N + j];
            p[(State.Mixed * N) + j] = rows[(2 * N) + j];
            p[(State.Probe * N) + j] = rows[(3 * N) + j];
            p[(State.Warmth * N) + j] = rows[(4 * N) + j];
            p[(State.Slow * N) + j] = rows[(5 * N) + j];
            p[(State.LnKept * N) + j] = rows[(6 * N) + j];
            p[(State.Drift * N) + j] *= Drift;
            p[(State.Wander * N) + j] *= Wander;
        }

        for (var i = 0; i < active; i++)
        {
            var line = p.Slice(i * N, N);
            var (v, q, m, t) = (line[State.LnVolume], line[State.LnFlow], line[State.Mixed], line[State.Tank]);
            line[State.LnKept] += _keptOfVolume * (v - q);
            line[State.LnVolume] = (_volumeOfVolume * v) + (_volumeOfFlow * q);
            line[State.LnFlow] = (_flowOfFlow * q) + (_flowOfVolume * v) + (_flowOfDrift * line[State.Drift]) + (_flowOfHead * line[State.Head]);
            line[State.Probe] = (_probeOfProbe * line[State.Probe]) + (_probeOfMixed * m) + (_probeOfTank * t) + (_probeOfVolume * v) + (_probeOfFlow * q);
            line[State.Slow] = (_slowOfSlow * line[State.Slow]) + (_slowOfMixed * m) + (_slowOfTank * t) + (_slowOfVolume * v) + (_slowOfFlow * q);
            line[State.Mixed] = (_mixedOfMixed * m) + (_mixedOfTank * t) + (_mixedOfVolume * v) + (_mixedOfFlow * q);
            line[State.Warmth] = !_warms ? line[State.Warmth] : (_warmOfWarm * line[State.Warmth]) + (_warmOfVolume * v) + (_warmOfFlow * q)
                + (_warmOfExchange * line[State.LnExchange]) + (_warmOfSurroundings * line[State.Surroundings]);
            line[State.Drift] *= Drift;
            line[State.Wander] *= Wander;
        }
    }
}
