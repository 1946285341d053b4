using System.Text.Json;
using Evenwater.Core.Stations;

namespace Evenwater.Options;

/// <summary>On which line of a JSON text each key stands.</summary>
internal sealed class JsonLines
{
    private readonly Dictionary<string, int> _lines = new(StringComparer.Ordinal);

    /// <summary>Walks a text that is known to be valid JSON.</summary>
    public static JsonLines Of(ReadOnlySpan<byte> utf8)
    {
        var result = new JsonLines();
        var reader = new Utf8JsonReader(utf8, new JsonReaderOptions { CommentHandling = JsonCommentHandling.Skip, AllowTrailingCommas = true });
        var parents = new Stack<(string Path, int Index)>(); // Index: -1 in an object, else the next element of an array
        var (path, line, counted) = ("", 1, 0L);
        while (reader.Read())
        {
            line += utf8[(int)counted..(int)reader.TokenStartIndex].Count((byte)'\n');
            counted = reader.TokenStartIndex;
            if (reader.TokenType is JsonTokenType.EndObject or JsonTokenType.EndArray)
            {
                parents.Pop();
                continue;
            }

            if (reader.TokenType == JsonTokenType.PropertyName)
            {
                path = Join(parents.Peek().Path, reader.GetString()!);
                result._lines.TryAdd(path, line);
                continue;
            }

            if (parents.TryPeek(out var parent) && parent.Index >= 0)
            {
                path = $"{parent.Path}[{parent.Index}]";
                result._lines.TryAdd(path, line);
                parents.Pop();
                parents.Push((parent.Path, parent.Index + 1));
            }

            if (reader.TokenType == JsonTokenType.StartObject) parents.Push((path, -1));
            if (reader.TokenType == JsonTokenType.StartArray) parents.Push((path, 0));
        }

        return result;
    }

    /// <summary>A key below another: dots between names; an empty key shows as "".</summary>
    public static string Join(string parent, string key)
    {
        var shown = key.Length == 0 ? "\"\"" : key;
        return parent.Length == 0 ? shown : $"{parent}.{shown}";
    }

    /// <summary>Each problem with the line of its key, or of the nearest enclosing key that the file has.</summary>
    public IReadOnlyList<Problem> Mark(IReadOnlyList<Problem> problems) => [.. problems.Select(problem => problem with { Line = LineOf(problem.Key) })];

    private int? LineOf(string key)
    {
        for (var path = key; path.Length > 0; path = path[..Math.Max(0, path.LastIndexOfAny(['.', '[']))])
        {
            if (_lines.TryGetValue(path, out var line)) return line;
        }

        return null;
    }
}
