using System.Text;
using System.Text.Json;
using System.Text.Json.Serialization;
using System.Text.Json.Serialization.Metadata;
using Evenwater.Core.Stations;

namespace Evenwater.Options;

/// <summary>
/// Reads a station file: JSON with comments and trailing commas. Bad input is a list of problems, each with its key and line,
/// never an exception; all of a file's problems are told at once.
/// </summary>
internal static class StationFile
{
    /// <summary>A station file is a page of text; more than this is some other file.</summary>
    public const int MaxBytes = 1 << 20;

    private static readonly JsonSerializerOptions Format = MakeFormat();

    public static StationReading Read(string path)
    {
        try
        {
            using var stream = File.OpenRead(path);
            var buffer = new byte[MaxBytes + 1];
            var length = stream.ReadAtLeast(buffer, buffer.Length, throwOnEndOfStream: false);
            return length > MaxBytes
                ? StationReading.Bad(new Problem(path, "too long", $"at most {MaxBytes / 1024} KiB of JSON", "Give a station file."))
                : Parse(buffer.AsMemory(0, length));
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            return StationReading.Bad(new Problem(path, "cannot be read", "a station file that this user may read", JsonText.Unreadable(path, error)));
        }
    }

    public static StationReading Parse(string text) => Parse(Encoding.UTF8.GetBytes(text));

    public static StationReading Parse(ReadOnlyMemory<byte> utf8)
    {
        var (station, lines, problems) = JsonText.Read<Station>(utf8, Format, "a station file");
        if (station is null) return StationReading.Bad(problems);
        problems = StationRules.Check(station);
        return problems.Count == 0 ? StationReading.Good(station) : StationReading.Bad(lines!.Mark(problems));
    }

    private static JsonSerializerOptions MakeFormat()
    {
        var options = new JsonSerializerOptions
        {
            PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
            ReadCommentHandling = JsonCommentHandling.Skip,
            AllowTrailingCommas = true,
            UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
            RespectNullableAnnotations = true,
            AllowDuplicateProperties = false,
            TypeInfoResolver = new DefaultJsonTypeInfoResolver(),
        };
        options.Converters.Add(new JsonStringEnumConverter(JsonNamingPolicy.CamelCase, allowIntegerValues: false));
        options.MakeReadOnly();
        return options;
    }
}
