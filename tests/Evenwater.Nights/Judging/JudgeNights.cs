using Evenwater.Nights.Plant;

namespace Evenwater.Nights.Judging;

/// <summary>The command that judges the forecasts of nights of our own, or of a folder of traces.</summary>
internal static class JudgeNights
{
    private const string Usage = $"""
        judge {NightsWanted.Usage} [--rows FILE]
          Makes N nights (default 5) of each kind (default all) from seed SEED (default 5001) on, forecasts each open loop and judges the forecasts by the truth.
          --matched: the same nights with the probes matched in one cup and the start volume known to 2 %.
        judge --traces DIR [--plain] [--rows FILE]
          The same with recorded traces. --plain: without what drop counter, load cell and level sensor said.
          --rows FILE: every judged moment as a row of CSV as well.
        """;

    /// <summary>0 judged, whatever came of it; 2 wrong use.</summary>
    public static int Run(ReadOnlySpan<string> args, TextWriter said, TextWriter wrong)
    {
        var wanted = NightsWanted.Read(args, nights: 5, first: 5001);
        var others = wanted.Others;
        string? rows = null;
        if (others is [.., "--rows", var file])
        {
            (rows, others) = (file, [.. others.SkipLast(2)]);
        }

        if (others is not ([] or ["--traces", _] or ["--traces", _, "--plain"]))
        {
            wrong.WriteLine($"'{string.Join(' ', wanted.Others)}' is not understood. Kinds: {NightsWanted.KindNames}\n{Usage}");
            return 2;
        }

        var (judged, cost) = others is ["--traces", var folder, ..]
            ? JudgedNights.Read(folder, plain: others.Count > 2)
            : JudgedNights.Made(wanted);
        foreach (var line in JudgedTable.Of(judged, Targets.For(wanted.Care), cost))
        {
            said.WriteLine(line);
        }

        if (rows is not null)
        {
            File.WriteAllLines(rows, JudgedRows.Of(judged));
        }

        return 0;
    }
}
