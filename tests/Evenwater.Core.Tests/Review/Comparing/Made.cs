using Evenwater.Core.Review.Comparing;
using Evenwater.Core.Standing;

namespace Evenwater.CoreTests.Review.Comparing;

/// <summary>Tanks of our own: noise that remembers, and a course of the day.</summary>
internal sealed class Made(int seed)
{
    public static readonly DateTimeOffset Start = new(2026, 6, 1, 0, 0, 0, TimeSpan.Zero);

    private readonly Random _random = new(seed);

    public double Normal() => Math.Sqrt(-2 * Math.Log(1 - _random.NextDouble())) * Math.Cos(2 * Math.PI * _random.NextDouble());

    /// <summary>Noise of 1-sigma 1 of which each value remembers so much of the one before.</summary>
    public double[] Remembering(int count, double memory)
    {
        var (values, last) = (new double[count], Normal());
        for (var i = 0; i < count; i++) values[i] = last = (memory * last) + (Math.Sqrt(1 - (memory * memory)) * Normal());
        return values;
    }

    /// <summary>One side, hour by hour; one hour in so many is missing at random, none for 0.</summary>
    public Side Side(Channel channel, int days, double memory, double course, double level, int missingOf)
    {
        var noise = Remembering(24 * days, memory);
        double?[] hours = [.. noise.Select((value, i) => missingOf > 0 && _random.Next(missingOf) == 0 ? (double?)null : level + value + (course * Math.Sin(2 * Math.PI * i / 24)))];
        return new(channel, days, hours, [.. Enumerable.Range(0, hours.Length).Select(i => i % 24)], [.. hours.SelectMany(hour => Enumerable.Repeat(hour, 4))], 0);
    }

    /// <summary>A channel by quarters of an hour from <see cref="Start"/>; null is not read.</summary>
    public static Quarters Quarters(Channel channel, int days, Func<int, double?> value) => Core.Review.Comparing.Quarters.Of(
        channel,
        Enumerable.Range(0, 96 * days).Where(i => value(i) is not null).Select(i => new Stretch(Start.AddMinutes(15 * i), TimeSpan.FromMinutes(15), value(i)!.Value)),
        Start, Start.AddDays(days));
}
