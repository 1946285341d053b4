namespace Evenwater.Nights.Plant;

/// <summary>The command that writes nights into a folder.</summary>
public static class WriteNights
{
    private const string Usage = $"""
        write DIR {NightsWanted.Usage}
          Writes N nights (default 3) of each kind (default all) from seed SEED (default 1) on, each as NAME.csv.gz, NAME.truth.csv.gz and NAME.meta.json.
          --matched: the same nights with the probes matched in one cup and the start volume known to 2 %.
        """;

    /// <summary>0 written, 2 wrong use.</summary>
    public static int Run(ReadOnlySpan<string> args, TextWriter said, TextWriter wrong)
    {
        var wanted = NightsWanted.Read(args, nights: 3, first: 1);
        if (wanted.Others is not [var folder] || folder.StartsWith('-'))
        {
            var what = wanted.Others.Count == 0 ? "" : $"'{string.Join(' ', wanted.Others)}' is not understood. ";
            wrong.WriteLine($"{what}Kinds: {NightsWanted.KindNames}\n{Usage}");
            return 2;
        }

        var all = wanted.Kinds.SelectMany(kind => Enumerable.Range(wanted.First, wanted.Nights).Select(seed => (kind, seed))).ToArray();
        Parallel.ForEach(all, night => NightFolder.Write(folder, night.kind.Make(night.seed, wanted.Care), night.seed));
        said.WriteLine($"{all.Length} nights of {wanted.Kinds.Count} kinds in {folder}");
        return 0;
    }
}
