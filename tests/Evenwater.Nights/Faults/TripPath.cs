namespace Evenwater.Nights.Faults;

/// <summary>The faults on the way of a trip, from what sees the water to what stops it, and what brings more of it; two of them at once is the hard test.</summary>
internal static class TripPath
{
    private static readonly string[] Words =
    [
        "float-stuck-dry", "leak-stuck-dry", "stuck-probe", "drifting-probe", "no-answer", // what sees it
        "cycle-hangs", "process-stops", "pulses-on", "log-lost", "power-cut", // what decides
        "driver-bridged", "driver-stuck-on", "series-float-dry", "valve-stuck-open", "leaking-valve", // what stops it
        "intake-deep", "top-off-runs", "siphon-surge", "poured-in@0h-2h", "vessel-smaller", "tube-out", // how much of it comes
    ];

    /// <summary>How many they are.</summary>
    public static int Count => Words.Length;

    /// <summary>All pairs, each of two different faults.</summary>
    public static IReadOnlyList<(string Name, FaultScript Script)> Pairs { get; } =
        [.. Words.SelectMany((first, i) => Words.Skip(i + 1).Select(second => ($"{Bare(first)} + {Bare(second)}", FaultScript.Both(FaultScript.Parse(first), FaultScript.Parse(second)))))];

    private static string Bare(string word) => word.Split('@')[0];
}
