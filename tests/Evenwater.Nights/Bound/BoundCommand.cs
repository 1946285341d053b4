using Evenwater.Nights.Plant;

namespace Evenwater.Nights.Bound;

/// <summary>The command that says how good a forecast of the plant's own nights could be at most.</summary>
internal static class BoundCommand
{
    private static readonly string Usage = $"""
        bound {NightsWanted.Usage} [--each]
          For N nights (default 5) of each kind from seed SEED (default 1) on: the program's forecast and that of somebody who knows the plant's law, at the same
          moments; --each tells each of them, on the other output. Kinds, and the default: {string.Join(' ', NightLaw.Checked)}
          Asked for by name, but no bound, since the sampler is not yet right on them or was not checked: {string.Join(' ', NightLaw.Unchecked)}
        bound --check ...
          The same somebody at 1, 2, 4 and 6 h of each night, whatever came after: whether the truth lies where it should.
        """;

    /// <summary>0 done, 2 wrong use.</summary>
    public static int Run(ReadOnlySpan<string> args, TextWriter said, TextWriter wrong)
    {
        var wanted = NightsWanted.Read(args, nights: 5, first: 1);
        var named = args.Contains("--kinds");
        var kinds = wanted.Kinds.Where(k => NightLaw.Checked.Contains(k.Name) || (named && NightLaw.Unchecked.Contains(k.Name))).ToArray();
        if (wanted.Others is not ([] or ["--check"] or ["--each"]) || (named && kinds.Length < wanted.Kinds.Count))
        {
            wrong.WriteLine($"'{string.Join(' ', wanted.Others)}' is not understood, or the law of a kind is not followed here.\n{Usage}");
            return 2;
        }

        var check = wanted.Others.Contains("--check");
        var all = new List<BoundMoment>();
        foreach (var line in check ? [] : BoundTable.Head())
        {
            said.WriteLine(line);
        }

        foreach (var kind in kinds)
        {
            var seeds = Enumerable.Range(wanted.First, wanted.Nights);
            if (check)
            {
                said.WriteLine(BoundCheck.Of(kind, seeds, wanted.Care));
                continue;
            }

            var nights = seeds.AsParallel().AsOrdered().Select(seed => BoundNight.Of(kind, seed, wanted.Care)).ToArray();
            foreach (var line in wanted.Others.Contains("--each") ? nights.SelectMany(n => n.Lines()) : [])
            {
                wrong.WriteLine(line);
            }

            var moments = nights.SelectMany(n => n.Moments).ToArray();
            all.AddRange(moments.Select(m => m with { Seed = (kind.Name, m.Seed).GetHashCode() }));
            foreach (var line in BoundTable.Of(kind.Name, moments))
            {
                said.WriteLine(line);
            }
        }

        foreach (var line in check || kinds.Length < 2 ? [] : BoundTable.Of("all", all))
        {
            said.WriteLine(line);
        }

        return 0;
    }
}
