using System.Globalization;

namespace Evenwater.Nights.Months;

/// <summary>`swings`: tank-months with planted causes, looked back at, and the table of what was found and how it was explained.</summary>
internal static class SwingsCommand
{
    private const string Usage = """
        swings [--months N] [--first SEED] [--evaporates HUNDREDTHS [--filled-up DAYS]] [--rows FILE]
            N tank-months (default 1000) from seed SEED (default 10000) on; FILE: a row for each planted cause (P), each that is not among the first three, and why (M), each episode (E) and each swing of noise alone (N).
            --evaporates: every tank loses so many hundredths of a per cent of its litres a day all the time, and nobody fills it up
            --filled-up: or the keeper does, every so many days, and writes it into the book
        """;

    public static int Run(string[] args, TextWriter output, TextWriter error)
    {
        var (months, first, evaporates, filledUp) = (1000, 10_000, 0.0, 0);
        string? rows = null;
        for (var i = 0; i < args.Length; i += 2)
        {
            var value = i + 1 < args.Length && int.TryParse(args[i + 1], NumberStyles.None, CultureInfo.InvariantCulture, out var n) && n is >= 1 and <= 1_000_000 ? n : 0;
            if (args[i] == "--rows" && i + 1 < args.Length)
            {
                rows = args[i + 1];
                continue;
            }

            switch (args[i], value)
            {
                case ("--months", > 0): months = value; break;
                case ("--first", > 0): first = value; break;
                case ("--evaporates", > 0): evaporates = value / 100.0; break;
                case ("--filled-up", > 0 and <= 30): filledUp = value; break;
                default: error.WriteLine($"'{args[i]}' is not understood.\n{Usage}"); return 2;
            }
        }

        var figures = new SwingFigures(rows is not null, evaporates, filledUp);
        Parallel.For(0, months, new ParallelOptions { MaxDegreeOfParallelism = Environment.ProcessorCount }, i => figures.Add(first + i));
        foreach (var line in figures.Lines()) output.WriteLine(line);
        if (rows is not null) File.WriteAllLines(rows, figures.Rows.Order(StringComparer.Ordinal));
        return figures is { FoundShare: >= 0.95, FalseAMonth: <= 1, FirstShare: >= 0.85, FirstThreeShare: >= 0.97, UnknownShare: >= 0.8 } ? 0 : 1;
    }
}
