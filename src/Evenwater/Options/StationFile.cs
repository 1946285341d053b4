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

    private const string WholeFile = "(file)";

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
            return StationReading.Bad(new Problem(path, "cannot be read", "a station file that this user may read", error.Message));
        }
    }

    public static StationReading Parse(string text) => Parse(Encoding.UTF8.GetBytes(text));

    public static StationReading Parse(ReadOnlyMemory<byte> utf8)
    {
        if (utf8.Span.StartsWith(Encoding.UTF8.Preamble)) utf8 = utf8[Encoding.UTF8.Preamble.Length..];
        try
        {
            var documentOptions = new JsonDocumentOptions { CommentHandling = JsonCommentHandling.Skip, AllowTrailingCommas = true };
            using var document = JsonDocument.Parse(utf8, documentOptions);
            var lines = JsonLines.Of(utf8.Span);
            if (lines.Twice.Count > 0) return StationReading.Bad(lines.Twice);
            var shape = JsonShape.Check(document.RootElement, Format.GetTypeInfo(typeof(Station)));
            if (shape.Count > 0) return StationReading.Bad(lines.Mark(shape));
            var station = document.RootElement.Deserialize<Station>(Format)!;
            var problems = StationRules.Check(station);
            return problems.Count == 0 ? StationReading.Good(station) : StationReading.Bad(lines.Mark(problems));
        }
        catch (JsonException error)
        {
            return StationReading.Bad(new Problem(error.Path is null or "$" ? WholeFile : error.Path, "not valid JSON", "JSON, with comments and trailing commas if you like", Advice(error.Message))
            {
                Line = (int?)error.LineNumber + 1,
            });
        }
        catch (InvalidOperationException error)
        {
            // Thrown for text that is no Unicode, such as half a surrogate pair.
            return StationReading.Bad(new Problem(WholeFile, "text that cannot be read", "UTF-8", error.Message));
        }
    }

    /// <summary>The reader's own words without its line, which it counts from 0, and what is usually meant by such a mistake.</summary>
    private static string Advice(string message)
    {
        var said = message.Split(" LineNumber:")[0];
        return said switch
        {
            ['\'', >= '0' and <= '9', '\'', ..] when said.Contains("start of a property name", StringComparison.Ordinal) => $"{said} A decimal takes a point and no comma: 1.6.",
            _ when said.StartsWith("'x' is an invalid end of a number", StringComparison.Ordinal) => $"{said} JSON has no hexadecimal numbers: 0x48 is 72.",
            _ when said.StartsWith("'0xE2'", StringComparison.Ordinal) => $"{said} Quotes are straight, as in \"name\".",
            _ => said,
        };
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
