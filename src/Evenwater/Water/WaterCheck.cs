
namespace Evenwater.Water;

/// <summary>A published value that a function must give: one row of checks.csv.</summary>
/// <param name="Function">Such as PracticalSalinity.Of; a part of the answer may follow, such as .Low.</param>
/// <param name="Inputs">In the order of the function, with blanks between.</param>
/// <param name="Expected">As printed in the source, or "refused".</param>
/// <param name="Allowed">How far off it may be; where the file leaves it out, half of the last digit of what is expected.</param>
/// <param name="Provenance">"read" in the source, "computed" with what the source names, or from "memory".</param>
/// <param name="Source">Where it stands.</param>
internal sealed record WaterCheck(string Function, string Inputs, string Expected, double Allowed, string Provenance, string Source)
{
    public const string Refused = "refused";

    private const string Resource = "water-checks.csv";

    /// <summary>For the binary fractions of a decimal half.</summary>
    private const double Rounding = 1e-9;

    public static IReadOnlyList<WaterCheck> All { get; } = Read();

    private string[] NameParts => Function.Split('.');

    /// <summary>Name of the function without the part of its answer.</summary>
    public string FunctionName => string.Join('.', NameParts.Take(2));

    public string[] InputList => Inputs.Split(' ', StringSplitOptions.RemoveEmptyEntries);

    /// <summary>What the program says to it.</summary>
    public WaterOutcome Run()
    {
        var function = WaterFunction.Find(FunctionName) ?? throw new InvalidOperationException($"{FunctionName}: there is no such function of water.");
        try
        {
            var answer = function.Ask(InputList);
            var part = string.Join('.', NameParts.Skip(2));
            return Judge(WaterFunction.Numbers(answer).Where(number => number.Name == part).Select(number => number.Value).FirstOrDefault(double.NaN));
        }
        catch (ArgumentOutOfRangeException)
        {
            return new WaterOutcome(this, null, Expected == Refused);
        }
    }

    /// <summary>A value held against what is expected.</summary>
    public WaterOutcome Judge(double ours) => Expected == Refused
        ? new WaterOutcome(this, ours, Met: false)
        : new WaterOutcome(this, ours, Math.Abs(ours - double.Parse(Expected)) <= Allowed + (Rounding * Math.Max(1, Math.Abs(ours))));

    internal static WaterCheck Parse(string line)
    {
        var cells = line.Split(',', 6);
        return new WaterCheck(cells[0], cells[1], cells[2], cells[3].Length > 0 ? double.Parse(cells[3]) : HalfDigit(cells[2]), cells[4], cells[5].Trim('"'));
    }

    private static double HalfDigit(string printed)
    {
        var point = printed.IndexOf('.', StringComparison.Ordinal);
        return 0.5 * Math.Pow(10, point < 0 ? 0 : point + 1 - printed.Length);
    }

    private static WaterCheck[] Read()
    {
        using var stream = typeof(WaterCheck).Assembly.GetManifestResourceStream(Resource)!;
        using var reader = new StreamReader(stream);
        return [.. reader.ReadToEnd().Split('\n', StringSplitOptions.RemoveEmptyEntries).Skip(1).Select(Parse)];
    }
}

/// <summary>A check and what the program gave.</summary>
/// <param name="Check">The check.</param>
/// <param name="Ours">The program's value; null when it refused.</param>
/// <param name="Met">Whether it is near enough.</param>
internal sealed record WaterOutcome(WaterCheck Check, double? Ours, bool Met)
{
    /// <summary>Ours less what is expected; null where one of them is no number.</summary>
    public double? Difference => Ours is { } ours && double.TryParse(Check.Expected, out var expected) ? ours - expected : null;
}
