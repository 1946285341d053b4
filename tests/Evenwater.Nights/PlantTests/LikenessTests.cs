using System.Globalization;
using Evenwater.Nights.Judging;
using Evenwater.Nights.Plant;

namespace Evenwater.Nights.PlantTests;

/// <summary>The plant's nights beside the recorded ones, which came from a simulator of somebody else's.</summary>
public sealed class LikenessTests(ITestOutputHelper output) : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("nights-").FullName;

    /// <summary>Twenty-four nights know a median sd of their own to a tenth or two; a plant half as restless again would be another plant.</summary>
    [Fact]
    public void Our_drips_and_probes_are_as_restless_as_the_recorded_ones()
    {
        foreach (var seed in Enumerable.Range(700, 24))
        {
            NightFolder.Write(_folder, PlantKinds.Named(seed % 2 == 0 ? "nominal" : "unequal-waters").Make(seed), seed);
        }

        var (ours, recorded) = (Rows(_folder), Rows(Path.Combine(AppContext.BaseDirectory, "traces")));
        Assert.Equal(["ln flow", "ln of the vessel probe over the truth, by 150 s", "ln of the tank probe over the truth, by 150 s"], ours.Keys);
        foreach (var (what, lags) in ours)
        {
            output.WriteLine($"{what}: {string.Join(' ', lags)}; recorded {string.Join(' ', recorded[what])}");
            Assert.Equal(4, lags.Length);
            Assert.All(lags.Zip(recorded[what]).Where(p => !double.IsNaN(p.First)), p => Assert.InRange(p.First / p.Second, 0.67, 1.5));
        }
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private static Dictionary<string, double[]> Rows(string folder) => Likeness.Of(folder).Where(line => line.StartsWith("| ln", StringComparison.Ordinal))
        .Select(line => line.Split('|', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries))
        .ToDictionary(cells => cells[0], cells => cells.Skip(1).Select(c => double.TryParse(c, CultureInfo.InvariantCulture, out var sd) ? sd : double.NaN).ToArray());
}
