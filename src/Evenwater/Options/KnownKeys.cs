using System.Text.Json.Serialization.Metadata;

namespace Evenwater.Options;

/// <summary>Every key that a file may have, so that a wrong one can be answered with the one that was meant.</summary>
internal sealed class KnownKeys
{
    private readonly List<(string Path, string Name)> _all = [];

    public KnownKeys(JsonTypeInfo root) => Collect(root, "");

    /// <summary>What to do about an unknown key of <paramref name="type"/> at <paramref name="path"/>.</summary>
    public string Advice(string path, string unknown, JsonTypeInfo type)
    {
        var elsewhere = _all.Where(known => known.Name == unknown).Select(known => known.Path).FirstOrDefault();
        if (elsewhere is not null) return $"It belongs at {elsewhere}.";
        var nearest = Nearest(unknown, type.Properties.Select(property => property.Name));
        return nearest is null ? "Take it out." : $"Did you mean {JsonLines.Join(path, nearest)}?";
    }

    /// <summary>The candidate with the fewest changed letters, unless more than half of them changed.</summary>
    public static string? Nearest(string word, IEnumerable<string> candidates)
    {
        const int Longest = 80; // the table below grows with the word
        if (word.Length > Longest) return null;
        var best = candidates.Select(candidate => (candidate, Distance: Distance(word, candidate)))
            .OrderBy(pair => pair.Distance).FirstOrDefault();
        return best.candidate is not null && best.Distance * 2 <= Math.Max(word.Length, best.candidate.Length) ? best.candidate : null;
    }

    private void Collect(JsonTypeInfo type, string path)
    {
        foreach (var property in type.Properties)
        {
            var key = JsonLines.Join(path, property.Name);
            _all.Add((key, property.Name));
            var info = type.Options.GetTypeInfo(Nullable.GetUnderlyingType(property.PropertyType) ?? property.PropertyType);
            if (info.Kind == JsonTypeInfoKind.Object) Collect(info, key);
            if (info.Kind == JsonTypeInfoKind.Enumerable) Collect(type.Options.GetTypeInfo(info.ElementType!), $"{key}[]");
        }
    }

    /// <summary>Levenshtein distance, letter case aside.</summary>
    private static int Distance(string left, string right)
    {
        var row = new int[right.Length + 1];
        for (var j = 0; j < row.Length; j++) row[j] = j;
        for (var i = 1; i <= left.Length; i++)
        {
            var diagonal = row[0];
            row[0] = i;
            for (var j = 1; j <= right.Length; j++)
            {
                var same = char.ToUpperInvariant(left[i - 1]) == char.ToUpperInvariant(right[j - 1]);
                (diagonal, row[j]) = (row[j], Math.Min(Math.Min(row[j], row[j - 1]) + 1, diagonal + (same ? 0 : 1)));
            }
        }

        return row[^1];
    }
}
