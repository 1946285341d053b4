namespace Evenwater.Core.Keeping;

/// <summary>Names of photographs that notes carry: each that of its content, SHA-256 (FIPS 180-4), 64 lower-case hexadecimal digits.</summary>
public static class PhotographNames
{
    /// <summary>Most of one note. Our own choice: a note must fit a message of 4096 bytes.</summary>
    public const int Most = 4;

    private const int Digits = 64;

    /// <summary>Whether it can be such a name.</summary>
    public static bool Is(string name) => name.Length == Digits && name.All(c => c is (>= '0' and <= '9') or (>= 'a' and <= 'f'));

    /// <summary>Whether two notes carry the same; none is as null.</summary>
    public static bool Same(IReadOnlyList<string>? one, IReadOnlyList<string>? other) => (one ?? []).SequenceEqual(other ?? [], StringComparer.Ordinal);
}
