using System.Globalization;

namespace Evenwater.Nights.Plant;

/// <summary>Which nights a command is asked to make.</summary>
/// <param name="Kinds">Of which kinds.</param>
/// <param name="Nights">How many of each.</param>
/// <param name="First">From which seed on.</param>
/// <param name="Care">How well they are known beforehand.</param>
/// <param name="Others">Arguments that are not about this.</param>
public sealed record NightsWanted(IReadOnlyList<PlantKind> Kinds, int Nights, int First, Care Care, IReadOnlyList<string> Others)
{
    public const string Usage = "[--kinds A,B] [--nights N] [--first SEED] [--matched]";

    public static string KindNames => string.Join(' ', PlantKinds.All.Select(k => k.Name));

    /// <summary>Reads the arguments; what is not understood here stays in <see cref="Others"/>.</summary>
    public static NightsWanted Read(ReadOnlySpan<string> args, int nights, int first)
    {
        var kinds = PlantKinds.All;
        var care = Care.Usual;
        var others = new List<string>();
        for (var i = 0; i < args.Length; i++)
        {
            var value = i + 1 < args.Length ? args[i + 1] : "";
            switch (args[i])
            {
                case "--matched":
                    care = Care.Matched;
                    break;
                case "--nights" when int.TryParse(value, CultureInfo.InvariantCulture, out var n) && n is > 0 and <= 100_000:
                    (nights, i) = (n, i + 1);
                    break;
                case "--first" when int.TryParse(value, CultureInfo.InvariantCulture, out var seed):
                    (first, i) = (seed, i + 1);
                    break;
                case "--kinds" when value.Split(',') is var names && names.All(n => PlantKinds.All.Any(k => k.Name == n)):
                    (kinds, i) = ([.. names.Select(PlantKinds.Named)], i + 1);
                    break;
                default:
                    others.Add(args[i]);
                    break;
            }
        }

        return new NightsWanted(kinds, nights, first, care, others);
    }
}
