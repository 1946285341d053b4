using Evenwater.Core;

namespace Evenwater.Nights.Plant;

/// <summary>
/// Counts falling drops: exactly while they are few; when they come fast they grow and run into one another, and the count lags
/// behind. Some counters are blind for a moment after each drop, others lose more and more above a rate of their own.
/// </summary>
public sealed class DropCounter(DropCounter.Setup setup)
{
    private double _due;
    private long _told;
    private long _counted;

    /// <summary>How the drops and the counter behave.</summary>
    public sealed record Setup
    {
        /// <summary>A slow drop, mL.</summary>
        public double DropMillilitres { get; init; } = 0.05;

        /// <summary>Blind so long after each drop, s.</summary>
        public double BlindSeconds { get; init; }

        /// <summary>Above so many drops a second the count grows only with a power of the rate.</summary>
        public double KneePerSecond { get; init; } = double.PositiveInfinity;

        /// <summary>That power.</summary>
        public double Power { get; init; } = 1;
    }

    /// <summary>So much has dripped in so long.</summary>
    public void Pass(double millilitres, double seconds)
    {
        var rate = millilitres / setup.DropMillilitres / seconds;
        var seen = rate / (1 + (rate * setup.BlindSeconds));
        seen = seen <= setup.KneePerSecond ? seen : setup.KneePerSecond * Math.Pow(seen / setup.KneePerSecond, setup.Power);
        _due += seen * seconds;
        _counted = (long)_due;
    }

    /// <summary>Drops since the last row.</summary>
    public Reading Read(MonotonicTime at)
    {
        var since = _counted - _told;
        _told = _counted;
        return Reading.Of(since, at);
    }
}
