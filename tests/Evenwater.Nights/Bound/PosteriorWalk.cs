using Evenwater.Nights.Plant;

namespace Evenwater.Nights.Bound;

/// <summary>
/// A chain through a posterior: preconditioned Crank-Nicolson steps (Cotter, Roberts, Stuart and White 2013, "MCMC methods for functions", section 4.3), here about
/// a peak of the posterior and with its curvature in place of the prior, which leaves the chain exact and lets it take long steps. Now and then
/// a jump to another branch, and numbers drawn anew from the prior.
/// </summary>
internal sealed class PosteriorWalk
{
    /// <summary>What share of the numbers a step moves, and how far: 1 is as if drawn anew.</summary>
    private static readonly (double Share, double Length)[] Moves = [(1, 0.08), (1, 0.25), (1, 0.6), (0.3, 0.5), (0.3, 1), (0.1, 0.3), (0.1, 1), (0.04, 1)];

    private readonly Unlikely _unlikely;
    private readonly Peak _peak;
    private readonly Chance _chance;
    private readonly double[] _branches;
    private readonly Range _anew;
    private readonly Retelling? _retold;
    private double[] _v;
    private double[] _u;
    private double[] _nextV;
    private double[] _nextU;
    private double _surprise; // -ln likelihood here

    /// <param name="unlikely">The likelihood.</param>
    /// <param name="peak">Where it starts, and what it is steered by.</param>
    /// <param name="branches">Prior chances of the branches.</param>
    /// <param name="anew">Numbers that are drawn anew at times.</param>
    /// <param name="retold">Steps of its own, if there are any.</param>
    /// <param name="chance">Where its steps come from.</param>
    public PosteriorWalk(Unlikely unlikely, Peak peak, double[] branches, Range anew, Retelling? retold, Chance chance)
    {
        (_unlikely, _peak, _branches, _anew, _retold, _chance) = (unlikely, peak, branches, anew, retold, chance);
        var size = peak.Top.Length;
        (_v, _u, _nextV, _nextU) = (new double[size], new double[size], new double[size], new double[size]);
        Branch = peak.Branch;
        foreach (ref var x in _v.AsSpan())
        {
            x = chance.Gauss();
        }

        peak.Around(_v, _u);
        _surprise = unlikely(_u, Branch, default);
    }

    public ReadOnlySpan<double> Numbers => _u;

    public int Branch { get; private set; }

    /// <summary>Shares of the steps taken that were accepted.</summary>
    public (int Taken, int Accepted) Steps { get; private set; }

    public void Step()
    {
        if (_branches.Length > 1 && _chance.Happens(0.06))
        {
            TryBranch();
        }

        if (!_anew.Equals(default) && _chance.Happens(0.1))
        {
            TryAnew();
        }

        if (_retold is not null)
        {
            TryRetold();
        }

        var (share, length) = Moves[_chance.Whole(0, Moves.Length - 1)];
        var keep = Math.Sqrt(1 - (length * length));
        for (var i = 0; i < _v.Length; i++)
        {
            _nextV[i] = share == 1 || _chance.Happens(share) ? (keep * _v[i]) + (length * _chance.Gauss()) : _v[i];
        }

        _peak.Around(_nextV, _nextU);
        var next = _unlikely(_nextU, Branch, default);
        var worse = next - _surprise + Peak.HalfSquare(_nextU) - Peak.HalfSquare(_u) - Peak.HalfSquare(_nextV) + Peak.HalfSquare(_v);
        var accepted = Accepts(worse);
        Steps = (Steps.Taken + 1, Steps.Accepted + (accepted ? 1 : 0));
        if (accepted)
        {
            (_v, _nextV, _u, _nextU, _surprise) = (_nextV, _v, _nextU, _u, next);
        }
    }

    private bool Accepts(double worse) => _chance.Between(0, 1) < Math.Exp(-worse);

    /// <summary>A branch drawn by its prior chance: the likelihood alone decides.</summary>
    private void TryBranch()
    {
        var branch = Drawn();
        var next = branch == Branch ? _surprise : _unlikely(_u, branch, default);
        if (Accepts(next - _surprise))
        {
            (Branch, _surprise) = (branch, next);
        }
    }

    private void TryRetold()
    {
        var spread = _retold!.Propose(_u, _nextU, _chance);
        if (Accepts(Peak.HalfSquare(_nextU) - Peak.HalfSquare(_u) - spread))
        {
            (_u, _nextU) = (_nextU, _u);
            _peak.Back(_u, _v);
        }
    }

    /// <summary>The same of the numbers that are drawn anew from their prior.</summary>
    private void TryAnew()
    {
        _u.CopyTo(_nextU, 0);
        foreach (ref var x in _nextU.AsSpan(_anew))
        {
            x = _chance.Gauss();
        }

        var next = _unlikely(_nextU, Branch, default);
        if (Accepts(next - _surprise))
        {
            (_u, _nextU, _surprise) = (_nextU, _u, next);
            _peak.Back(_u, _v);
        }
    }

    private int Drawn()
    {
        var p = _chance.Between(0, 1);
        var branch = 0;
        while (branch < _branches.Length - 1 && p >= _branches[branch])
        {
            p -= _branches[branch++];
        }

        return branch;
    }
}
