namespace Evenwater.Tests.Latency;

/// <summary>Times of trips, ms, and what they came to.</summary>
internal sealed class Latencies
{
    private readonly List<double> _all = [];
    private readonly Lock _lock = new();

    public int Count
    {
        get
        {
            lock (_lock)
            {
                return _all.Count;
            }
        }
    }

    public void Add(double milliseconds)
    {
        lock (_lock)
        {
            _all.Add(milliseconds);
        }
    }

    /// <summary>The smallest that so large a share is not above: the nearest rank.</summary>
    public double Quantile(double share)
    {
        lock (_lock)
        {
            var sorted = _all.Order().ToList();
            return sorted[Math.Clamp((int)Math.Ceiling(share * sorted.Count) - 1, 0, sorted.Count - 1)];
        }
    }

    public double Max => Quantile(1);

    public override string ToString() => $"n {Count}, p50 {Quantile(0.5):0.0} ms, p99 {Quantile(0.99):0.0} ms, max {Max:0.0} ms";
}
