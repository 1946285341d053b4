namespace Evenwater.Log.Summaries;

/// <summary>How coarse a summary is. The number is stored: append, never renumber.</summary>
internal enum Grain
{
    Minute = 1,
    QuarterHour = 2,
    Day = 3,
}

/// <summary>Facts about the grains.</summary>
internal static class Grains
{
    /// <summary>Buckets that stand in one row of the log: a day of minutes, a fortnight and a day of quarter-hours, four years of days.</summary>
    public const int RowBuckets = 1440;

    /// <summary>From the finest on.</summary>
    public static readonly Grain[] All = [Grain.Minute, Grain.QuarterHour, Grain.Day];

    /// <summary>Length of a bucket, ms. Days are those of UTC: a zone may change, what was summed may not.</summary>
    public static long LengthMs(Grain grain) => grain switch
    {
        Grain.Minute => 60_000,
        Grain.QuarterHour => 900_000,
        _ => 86_400_000,
    };

    /// <summary>Length of a row, ms.</summary>
    public static long RowMs(Grain grain) => LengthMs(grain) * RowBuckets;

    /// <summary>The start of the bucket or row of this length that an instant lies in.</summary>
    public static long Floor(long ms, long length) => ms - (((ms % length) + length) % length);
}
