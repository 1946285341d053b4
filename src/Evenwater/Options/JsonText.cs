using System.Text;
using System.Text.Json;
using Evenwater.Core.Stations;

namespace Evenwater.Options;

/// <summary>
/// Reads the text of a file of settings: JSON with comments and trailing commas. Bad input is a list of problems, each with its key and line,
/// never an exception; all of a file's problems are told at once.
/// </summary>
internal static class JsonText
{
    private const string WholeFile = "(file)";

    /// <summary>What it says, and on which lines; or what is wrong with it.</summary>
    /// <param name="utf8">The text.</param>
    /// <param name="format">How its keys are read.</param>
    /// <param name="file">What kind of file it is, for words such as "the keys of a station file".</param>
    public static (T? Value, JsonLines? Lines, IReadOnlyList<Problem> Problems) Read<T>(ReadOnlyMemory<byte> utf8, JsonSerializerOptions format, string file)
        where T : class
    {
        if (utf8.Span.StartsWith(Encoding.UTF8.Preamble)) utf8 = utf8[Encoding.UTF8.Preamble.Length..];
        if (utf8.Span.TrimStart(" \t\r\n"u8).IsEmpty)
            return Bad<T>(new Problem(WholeFile, "empty", "JSON, with comments and trailing commas if you like", $"Write {file}, or copy one of the examples."));
        if (utf8.Span.StartsWith(Encoding.Unicode.Preamble) || utf8.Span.StartsWith(Encoding.BigEndianUnicode.Preamble))
            return Bad<T>(new Problem(WholeFile, "UTF-16 text", "UTF-8", "Save it as UTF-8: editors ask for the encoding where they ask for the name."));
        try
        {
            using var document = JsonDocument.Parse(utf8, new JsonDocumentOptions { CommentHandling = JsonCommentHandling.Skip, AllowTrailingCommas = true });
            var lines = JsonLines.Of(utf8.Span);
            if (lines.Twice.Count > 0) return (null, lines, lines.Twice);
            var shape = JsonShape.Check(document.RootElement, format.GetTypeInfo(typeof(T)), file);
            return shape.Count > 0 ? (null, lines, lines.Mark(shape)) : (document.RootElement.Deserialize<T>(format)!, lines, []);
        }
        catch (JsonException error)
        {
            return Bad<T>(new Problem(error.Path is null or "$" ? WholeFile : error.Path, "not valid JSON", "JSON, with comments and trailing commas if you like", Advice(error.Message))
            {
                Line = (int?)error.LineNumber + 1,
            });
        }
        catch (InvalidOperationException error)
        {
            // Thrown for text that is no Unicode, such as half a surrogate pair.
            return Bad<T>(new Problem(WholeFile, "text that cannot be read", "UTF-8", error.Message));
        }
    }

    /// <summary>Why a file can not be read; of a folder the system says no more than that it is denied.</summary>
    public static string Unreadable(string path, Exception error) => Directory.Exists(path) ? "This is a folder: name the file in it." : error.Message;

    /// <summary>Of what stands there no more is told than shows which it is: it may be a whole file, or a secret's.</summary>
    private const int MostTold = 24;

    /// <summary>The reader's own words without its line, which it counts from 0, and what is usually meant by such a mistake.</summary>
    private static string Advice(string message)
    {
        var said = Shortened(message.Split(" LineNumber:")[0]);
        return said switch
        {
            ['\'', >= '0' and <= '9', '\'', ..] when said.Contains("start of a property name", StringComparison.Ordinal) => $"{said} A decimal takes a point and no comma: 1.6.",
            _ when said.StartsWith("'x' is an invalid end of a number", StringComparison.Ordinal) => $"{said} JSON has no hexadecimal numbers: 0x48 is 72.",
            _ when said.StartsWith("'0xE2'", StringComparison.Ordinal) => $"{said} Quotes are straight, as in \"name\".",
            _ => said,
        };
    }

    private static string Shortened(string said)
    {
        var (from, to) = (said.IndexOf('\'') + 1, said.LastIndexOf("' is an invalid", StringComparison.Ordinal));
        if (from == 0 || to < from) return said;
        var there = said[from..to].ReplaceLineEndings("\n").Split('\n')[0];
        return there.Length == to - from && there.Length <= MostTold ? said : $"{said[..from]}{there[..Math.Min(there.Length, MostTold)]}...{said[to..]}";
    }

    private static (T? Value, JsonLines? Lines, IReadOnlyList<Problem> Problems) Bad<T>(Problem problem) => (default, null, [problem]);
}
