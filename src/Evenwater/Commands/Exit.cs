using Evenwater.Core.Stations;

namespace Evenwater.Commands;

/// <summary>Exit codes, and how wrong use is told: on standard error, key, value, what is allowed, what to do.</summary>
internal static class Exit
{
    /// <summary>Asked, and fine.</summary>
    public const int Fine = 0;

    /// <summary>Asked, and the answer is bad.</summary>
    public const int Bad = 1;

    /// <summary>Wrong use or configuration.</summary>
    public const int WrongUse = 2;

    /// <summary>Writes one line to standard error.</summary>
    public static int Wrong(string text)
    {
        Console.Error.WriteLine(text);
        return WrongUse;
    }

    /// <summary>Writes an answer: a good one to standard output, a bad one to standard error.</summary>
    public static int Tell(bool good, string text)
    {
        (good ? Console.Out : Console.Error).WriteLine(text);
        return good ? Fine : Bad;
    }

    /// <summary>Writes every problem to standard error.</summary>
    public static int Wrong(string file, IReadOnlyList<Problem> problems) => Wrong(Console.Error, file, problems);

    /// <summary>Writes every problem.</summary>
    public static int Wrong(TextWriter error, string file, IReadOnlyList<Problem> problems)
    {
        error.WriteLine($"{file} can not be used:");
        foreach (var problem in problems)
        {
            error.WriteLine($"  {problem}");
        }

        return WrongUse;
    }
}
