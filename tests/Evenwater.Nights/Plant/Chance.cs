namespace Evenwater.Nights.Plant;

/// <summary>Chance from a seed: the same seed, the same night.</summary>
public sealed class Chance(int seed)
{
    private readonly Random _random = new(seed);
    private double? _spare;

    public double Between(double low, double high) => low + ((high - low) * _random.NextDouble());

    /// <summary>Between two positive numbers, even in the logarithm.</summary>
    public double LogBetween(double low, double high) => Math.Exp(Between(Math.Log(low), Math.Log(high)));

    public bool Happens(double probability) => _random.NextDouble() < probability;

    public T OneOf<T>(params ReadOnlySpan<T> options) => options[_random.Next(options.Length)];

    public int Whole(int low, int high) => _random.Next(low, high + 1);

    public int Sign() => Happens(0.5) ? 1 : -1;

    /// <summary>A waiting time with this mean.</summary>
    public double Wait(double mean) => -mean * Math.Log(1 - _random.NextDouble());

    /// <summary>Standard normal (Marsaglia and Bray's polar method, 1964).</summary>
    public double Gauss()
    {
        if (_spare is { } spare)
        {
            _spare = null;
            return spare;
        }

        double x, y, s;
        do
        {
            x = (2 * _random.NextDouble()) - 1;
            y = (2 * _random.NextDouble()) - 1;
            s = (x * x) + (y * y);
        }
        while (s is >= 1 or 0);

        var scale = Math.Sqrt(-2 * Math.Log(s) / s);
        _spare = y * scale;
        return x * scale;
    }
}
