using System.Globalization;

namespace Evenwater.Nights.Pacing;

/// <summary>`pace`: rehearsed nights of paced stations with clogs, surges and falling heads, against their limits and the optimiser.</summary>
internal static class PaceCommand
{
    private const string Usage = "pace [--nights N] [--first SEED] [--unpaced]   N nights (default 200) from seed SEED (default 6001) on; --unpaced: the same with a valve that stays open";

    public static int Run(string[] args, TextWriter output, TextWriter error)
    {
        var (nights, first, paced) = (200, 6001UL, true);
        for (var i = 0; i < args.Length; i++)
        {
            var value = i + 1 < args.Length && int.TryParse(args[i + 1], NumberStyles.None, CultureInfo.InvariantCulture, out var n) && n is >= 1 and <= 100_000 ? n : 0;
            switch (args[i], value)
            {
                case ("--nights", > 0): (nights, i) = (value, i + 1); break;
                case ("--first", > 0): (first, i) = ((ulong)value, i + 1); break;
                case ("--unpaced", _): paced = false; break;
                default: error.WriteLine($"'{args[i]}' is not understood.\n{Usage}"); return 2;
            }
        }

        var all = new PacedNight[nights];
        Parallel.For(0, nights, new ParallelOptions { MaxDegreeOfParallelism = Environment.ProcessorCount }, i => all[i] = PacedNight.Run(first + (ulong)i, paced));
        foreach (var night in all)
        {
            output.WriteLine(PacedFigures.Line(night));
        }

        var figures = PacedFigures.Of(all);
        output.WriteLine(figures);
        return figures.Holds ? 0 : 1;
    }
}

/// <summary>What many paced nights came to.</summary>
/// <param name="Nights">How many.</param>
/// <param name="Minutes">Minutes of dripping that could be judged.</param>
/// <param name="OverShare">Share of them in which a limit was exceeded at all.</param>
/// <param name="FarOverShare">Share of them in which it was exceeded by more than 5 %.</param>
/// <param name="Worst">The fastest change over its limit.</param>
/// <param name="Compared">Nights that came to their match, as the optimiser's did.</param>
/// <param name="Within">Of those, how many within 10 % of its time.</param>
/// <param name="MedianRatio">Median of the time over the optimiser's.</param>
/// <param name="TotalRatio">Sum of the times over the sum of the optimiser's.</param>
/// <param name="Planned">Nights that closed as planned.</param>
/// <param name="Short">Of those, how many a little before the waters were even.</param>
/// <param name="FurthestApart">How far apart the waters were in the worst of them, as a multiple of what counts as even.</param>
internal sealed record PacedFigures(
    int Nights, int Minutes, double OverShare, double FarOverShare, double Worst, int Compared, int Within, double MedianRatio, double TotalRatio,
    int Planned, int Short, double FurthestApart)
{
    /// <summary>Whether both figures hold: by more than 5 % in at most one minute of a hundred, and within 10 % of the optimiser.</summary>
    public bool Holds => FarOverShare <= 0.01 && MedianRatio <= 1.1 && TotalRatio <= 1.1;

    public static PacedFigures Of(IReadOnlyList<PacedNight> nights)
    {
        var minutes = nights.SelectMany(n => n.OverLimit).ToList();
        var compared = nights.Where(n => n.Hours is > 0 && n.BestHours is > 0 and < double.PositiveInfinity).ToList();
        var ratios = compared.Select(n => n.Hours!.Value / n.BestHours).Order().ToList();
        var apart = nights.Where(n => n.ApartAtClose is not null).Select(n => n.ApartAtClose!.Value).ToList();
        return new PacedFigures(
            nights.Count, minutes.Count, minutes.Count(m => m > 1) / Math.Max(minutes.Count, 1.0), minutes.Count(m => m > 1.05) / Math.Max(minutes.Count, 1.0), minutes.DefaultIfEmpty().Max(),
            compared.Count, ratios.Count(r => r <= 1.1), ratios.Count == 0 ? 0 : ratios[ratios.Count / 2],
            compared.Count == 0 ? 0 : compared.Sum(n => n.Hours!.Value) / compared.Sum(n => n.BestHours),
            apart.Count, apart.Count(a => a > 1), apart.DefaultIfEmpty().Max());
    }

    public static string Line(PacedNight night) => string.Create(CultureInfo.InvariantCulture,
        $"{night.Seed} {string.Join(' ', night.Faults),-44} match {night.Hours,6:0.00} h, best {night.BestHours,6:0.00}, ratio {night.Hours / night.BestHours,5:0.000}; over {night.OverLimit.Count(o => o > 1),3} min, by >5 % {night.OverLimit.Count(o => o > 1.05),3} of {night.OverLimit.Count,4}, worst {night.OverLimit.DefaultIfEmpty().Max():0.000}; pulses {night.Pulses,4}; {(night.Verdict.ClosedByPlan ? string.Create(CultureInfo.InvariantCulture, $"as planned, {night.ApartAtClose:0.000} of even apart") : night.Verdict.Trip)}, {night.Verdict.SpilledLitres:0.00} L over");

    public override string ToString() => string.Create(CultureInfo.InvariantCulture,
        $"{Nights} nights, {Minutes} minutes: a limit exceeded in {100 * OverShare:0.00} %, by more than 5 % in {100 * FarOverShare:0.00} % (at most 1), worst {Worst:0.000}. "
        + $"Match: {Compared} compared, {Within} within 10 % of the optimiser, median ratio {MedianRatio:0.000}, of all time {TotalRatio:0.000} (at most 1.100). "
        + $"Closed as planned: {Planned}, {Short} of them a little short of even, the worst {FurthestApart:0.000} of it apart.");
}
