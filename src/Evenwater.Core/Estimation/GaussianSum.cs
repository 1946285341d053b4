namespace Evenwater.Core.Estimation;

/// <summary>The weighted hypotheses that together are the estimate. Owns a fixed pool; nothing is allocated after construction.</summary>
internal sealed class GaussianSum
{
    private const int Capacity = 160;
    private readonly Hypothesis[] _pool = new Hypothesis[Capacity];
    public GaussianSum()
    {
        for (var i = 0; i < Capacity; i++)
        {
            _pool[i] = new Hypothesis();
        }
    }

    public int Count { get; private set; }

    public Hypothesis this[int i] => _pool[i];

    /// <summary>How many more it can hold.</summary>
    public int Room => Capacity - Count;

    /// <summary>A hypothesis to fill in, or to copy into.</summary>
    public Hypothesis Add() => _pool[Count++];

    public void Clear() => Count = 0;

    /// <summary>Normalised weight of one hypothesis, after <see cref="Normalise"/>.</summary>
    public double Weight(int i) => Math.Exp(_pool[i].LogWeight);

    public void Predict(in Motion motion)
    {
        for (var i = 0; i < Count; i++)
        {
            motion.Move(_pool[i]);
        }
    }

    /// <summary>Mixed water leaves: the volume falls and the conductivity stays.</summary>
    public void DrawOff(double litres, double relativeSd)
    {
        for (var i = 0; i < Count; i++)
        {
            var h = _pool[i];
            var before = Math.Exp(h.Mean[State.LnVolume]);
            var after = Math.Max(before - litres, 0.02 * before);
            h.Mean[State.LnVolume] = Math.Log(after);
            h.Scale(State.LnVolume, before / after);
            h.Widen(State.LnVolume, Math.Pow(litres * relativeSd / after, 2));
            h.Overflowing = false;
        }
    }

    /// <summary>Drops what rounding or absurd evidence has broken and scales the weights to sum to 1.</summary>
    /// <returns>False when nothing sound is left.</returns>
    public bool Normalise()
    {
        var largest = double.NegativeInfinity;
        for (var i = Count - 1; i >= 0; i--)
        {
            if (!_pool[i].IsSound())
            {
                Remove(i);
                continue;
            }

            _pool[i].BoundDoubt();
            largest = Math.Max(largest, _pool[i].LogWeight);
        }

        if (!double.IsFinite(largest))
        {
            return false;
        }

        var sum = 0.0;
        for (var i = 0; i < Count; i++)
        {
            sum += Math.Exp(_pool[i].LogWeight - largest);
        }

        var scale = largest + Math.Log(sum);
        for (var i = 0; i < Count; i++)
        {
            _pool[i].LogWeight -= scale;
        }

        return true;
    }

    /// <summary>Weight of those who hold that the vessel's probe drifts.</summary>
    public double Doubting()
    {
        var doubting = 0.0;
        for (var i = 0; i < Count; i++)
        {
            doubting += _pool[i].DoubtsVessel ? Weight(i) : 0;
        }

        return doubting;
    }

    /// <summary>Weighted mean of one component.</summary>
    public double Mean(int component)
    {
        var mean = 0.0;
        for (var i = 0; i < Count; i++)
        {
            mean += Weight(i) * _pool[i].Mean[component];
        }

        return mean;
    }

    /// <summary>Variance of one component: within and between the hypotheses.</summary>
    public double Variance(int component)
    {
        var mean = Mean(component);
        var variance = 0.0;
        for (var i = 0; i < Count; i++)
        {
            var d = _pool[i].Mean[component] - mean;
            variance += Weight(i) * (_pool[i].Variance(component) + (d * d));
        }

        return variance;
    }

    /// <summary>
    /// Merges what says the same and keeps the heaviest <paramref name="keep"/> of those that leak and of those that do not: a leak
    /// that has just begun weighs nothing yet, and must live until it can be told. So must a few of those who doubt the vessel's probe.
    /// </summary>
    public void Prune(int keep)
    {
        SortByWeight();
        for (var i = 0; i < Count; i++)
        {
            for (var j = Count - 1; j > i; j--)
            {
                if (Merging.SaysTheSame(_pool[i], _pool[j]))
                {
                    Merging.Into(_pool[i], _pool[j]);
                    RemoveOrdered(j);
                }
            }
        }

        var (leaking, tight, doubting) = (0, 0, 0);
        for (var i = 0; i < Count; i++)
        {
            if (_pool[i].DoubtsVessel ? ++doubting > Process.KeepDoubting : _pool[i].Leaks ? ++leaking > keep : ++tight > keep)
            {
                RemoveOrdered(i--);
            }
        }

        Normalise();
    }

    public void CopyTo(GaussianSum other)
    {
        other.Count = Count;
        for (var i = 0; i < Count; i++)
        {
            _pool[i].CopyTo(other._pool[i]);
        }
    }

    private void Remove(int i)
    {
        Count--;
        (_pool[i], _pool[Count]) = (_pool[Count], _pool[i]);
    }

    private void RemoveOrdered(int i)
    {
        var gone = _pool[i];
        Array.Copy(_pool, i + 1, _pool, i, Count - i - 1);
        Count--;
        _pool[Count] = gone;
    }

    /// <summary>Insertion: short, nearly sorted already, and unlike the library's sort with a comparer it allocates nothing.</summary>
    private void SortByWeight()
    {
        for (var i = 1; i < Count; i++)
        {
            var h = _pool[i];
            var j = i - 1;
            for (; j >= 0 && _pool[j].LogWeight < h.LogWeight; j--)
            {
                _pool[j + 1] = _pool[j];
            }

            _pool[j + 1] = h;
        }
    }
}
