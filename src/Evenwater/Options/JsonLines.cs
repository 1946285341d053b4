using System.Text.Json;
using Evenwater.Core.Stations;

namespace Evenwater.Options;

/// <summary>On which line of a JSON text each key stands, and which stand there twice.</summary>
internal sealed class JsonLines
{
    /// <summary>Who has more of them than this has put two files together.</summary>
    private const int MostTwice = 20;

    private readonly Dictionary<string, int> _lines = new(StringComparer.Ordinal);
    private readonly Dictionary<string, Problem> _twice = new(StringComparer.Ordinal);

    /// <summary>Each key that stands twice in one object: of the two, one is not what runs.</summary>
    public IReadOnlyList<Problem> Twice => [.. _twice.Values];

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
                var parent = parents.Peek().Path;
                path = Join(parent, reader.GetString()!);
                result.Add(parent, path, line);
                continue;
            }

            if (parents.TryPeek(out var list) && list.Index >= 0)
            {
                path = $"{list.Path}[{list.Index}]";
                result._lines.TryAdd(path, line);
                parents.Pop();
                parents.Push((list.Path, list.Index + 1));
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

    private void Add(string parent, string path, int line)
    {
        // What is in the second of two objects is there twice as well, and needs no telling.
        if (!_lines.TryAdd(path, line) && _twice.Count < MostTwice && !_twice.Keys.Any(twice => parent == twice || parent.StartsWith($"{twice}.", StringComparison.Ordinal) || parent.StartsWith($"{twice}[", StringComparison.Ordinal)))
        {
            _twice.TryAdd(path, new Problem(path, "twice", "each key once", $"Keep one of the two: the other stands on line {_lines[path]}.") { Line = line });
        }
    }

    private int? LineOf(string key)
    {
        for (var path = key; path.Length > 0; path = path[..Math.Max(0, path.LastIndexOfAny(['.', '[']))])
        {
            if (_lines.TryGetValue(path, out var line)) return line;
        }

        return null;
    }
}
