using System.Text.Json;

namespace Evenwater.Log;

/// <summary>What it looks like when an entry is no longer what was written: text that is no JSON or says something else, numbers that are no date or no value of ours.</summary>
internal static class OtherBytes
{
    /// <summary>Whether an entry that could not be worded is to blame, and not whom it was for: it is passed over and told of, and holds up nothing that comes after it.</summary>
    public static bool Made(Exception e) => e is JsonException or InvalidDataException or InvalidOperationException or ArgumentException or FormatException or OverflowException;
}
