using System.Globalization;

namespace Evenwater.Nights.Plant;

/// <summary>The command that writes nights into a folder.</summary>
public static class WriteNights
{
    private const string Usage = """
        write DIR [--kinds A,B] [--nights N] [--first SEED] [--matched]
          Writes N nights (default 3) of each kind (default all) from seed SEED (default 1) on, each as NAME.csv.gz, NAME.truth.csv.gz and NAME.meta.json.
          --matched: the same nights with the probes matched in one cup and the start volume known to 2 %.
        """;

    /// <summary>0 written, 2 wrong use.</summary>
    public static int Run(ReadOnlySpan<string> args, TextWriter said, TextWriter wrong)
    {
        string? folder = null;
        var (nights, first, care) = (3, 1, Care.Usual);
        var kinds = PlantKinds.All;
        for (var i = 0; i < args.Length; i++)
        {
            var value = i + 1 < args.Length ? args[i + 1] : "";
            switch (args[i])
            {
                case "--matched":
                    care = Care.Matched;
                    break;
                case "--nights" when int.TryParse(value, CultureInfo.InvariantCulture, out nights) && nights is > 0 and <= 100_000:
                case "--first" when int.TryParse(value, CultureInfo.InvariantCulture, out first):
                    i++;
                    break;
                case "--kinds" when value.Split(',') is var names && names.All(n => PlantKinds.All.Any(k => k.Name == n)):
                    kinds = [.. names.Select(PlantKinds.Named)];
                    i++;
                    break;
                case var path when folder is null && !path.StartsWith('-'):
                    folder = path;
                    break;
                default:
                    wrong.WriteLine($"'{args[i]}{(value.Length > 0 ? " " + value : "")}' is not understood. Kinds: {string.Join(' ', PlantKinds.All.Select(k => k.Name))}\n{Usage}");
                    return 2;
            }
        }

        if (folder is null)
        {
            wrong.WriteLine(Usage);
            return 2;
        }

        var all = kinds.SelectMany(kind => Enumerable.Range(first, nights).Select(seed => (kind, seed))).ToArray();
        Parallel.ForEach(all, night => NightFolder.Write(folder, night.kind.Make(night.seed, care), night.seed));
        said.WriteLine($"{all.Length} nights of {kinds.Count} kinds in {folder}");
        return 0;
    }
}
