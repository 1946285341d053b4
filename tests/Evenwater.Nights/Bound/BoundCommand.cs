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
        bound --closings ...
          When both would close by the program's own rule, for some risks: how many nights past the mark, how many before a match that could be reached.
        """;

    /// <summary>0 done, 2 wrong use.</summary>
    public static int Run(ReadOnlySpan<string> args, TextWriter said, TextWriter wrong)
    {
        var wanted = NightsWanted.Read(args, nights: 5, first: 1);
        var named = args.Contains("--kinds");
        var kinds = wanted.Kinds.Where(k => NightLaw.Checked.Contains(k.Name) || (named && NightLaw.Unchecked.Contains(k.Name))).ToArray();
        if (wanted.Others is not ([] or ["--check"] or ["--each"] or ["--closings"]) || (named && kinds.Length < wanted.Kinds.Count))
        {
            wrong.WriteLine($"'{string.Join(' ', wanted.Others)}' is not understood, or the law of a kind is not followed here.\n{Usage}");
            return 2;
        }

        if (wanted.Others.Contains("--closings"))
        {
            Closed(wanted, kinds, said);
            return 0;
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

    private static void Closed(NightsWanted wanted, IReadOnlyList<PlantKind> kinds, TextWriter said)
    {
        var all = new List<Closings>();
        foreach (var kind in kinds)
        {
            var some = Enumerable.Range(wanted.First, wanted.Nights).AsParallel().AsOrdered().Select(seed => Closings.Of(kind.Make(seed, wanted.Care))).ToArray();
            all.AddRange(some);
            said.WriteLine($"{kind.Name}:");
            Say(some);
        }

        if (kinds.Count > 1)
        {
            said.WriteLine("all:");
            Say(all);
        }

        void Say(IReadOnlyList<Closings> nights)
        {
            foreach (var line in ClosingsTable.Of(nights))
            {
                said.WriteLine(line);
            }
        }
    }
}
