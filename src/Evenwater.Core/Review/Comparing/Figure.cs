namespace Evenwater.Core.Review.Comparing;

/// <summary>What of a channel is held against what it was.</summary>
public enum Figure
{
    /// <summary>The mean of the hours of the day: % of conductivity, °C, lx.</summary>
    Level,

    /// <summary>How it moves from day to day, the same a day.</summary>
    Slope,

    /// <summary>The highest hour of a day less its lowest.</summary>
    DailySwing,

    /// <summary>What it moves from quarter to quarter of an hour: per cent more or less of that (100 times the logarithm of the ratio).</summary>
    Restlessness,

    /// <summary>Of light: hours a day that it is on.</summary>
    LitHours,
}
