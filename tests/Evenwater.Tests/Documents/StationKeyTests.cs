using System.Globalization;
using System.Reflection;
using System.Runtime.CompilerServices;
using System.Text.Json;
using System.Text.RegularExpressions;
using Evenwater.Core.Stations;

namespace Evenwater.Tests.Documents;

/// <summary>config/README.md says of a station file what the program says of it.</summary>
public partial class StationKeyTests
{
    private static readonly string Manual = Repository.Text("config", "README.md");
    private static readonly Dictionary<string, List<PropertyInfo>> Keys = KeysOf(typeof(Station), []);

    [Fact]
    public void Every_key_of_a_station_file_is_explained()
    {
        var explained = Names(Manual).ToHashSet(StringComparer.Ordinal);
        var sections = Headings().Matches(Manual).SelectMany(heading => Words().Matches(heading.Value)).Select(word => word.Value);
        Assert.True(Keys.Count > 50, $"only {Keys.Count} keys were found by reflection");
        Assert.Empty(Keys.Keys.Except(explained).Except(sections));
    }

    [Fact]
    public void No_key_is_explained_that_a_station_file_does_not_know()
    {
        var rows = Rows().ToList();
        Assert.True(rows.Count > 40, $"only {rows.Count} rows were found");
        Assert.Empty(rows.SelectMany(row => Names(row[0])).Except(Keys.Keys));
    }

    [Fact]
    public void Defaults_in_the_tables_are_those_of_the_program()
    {
        var compared = 0;
        foreach (var row in Rows().Where(row => row.Length >= 4))
        {
            var cells = row.Skip(2).Select(cell => cell.Trim('`')).ToList();
            foreach (var property in Names(row[0]).SelectMany(name => Keys[name]).Where(property => Default(property) is not null))
            {
                compared++;
                Assert.True(cells.Contains(Default(property)!), $"{row[0]}: the program's default is {Default(property)}, the table has {string.Join(" | ", cells)}");
            }
        }

        Assert.True(compared >= 18, $"only {compared} defaults were compared");
    }

    [Fact]
    public void What_the_tables_call_required_is_what_the_program_requires()
    {
        // The sensors' table has two keys to a row, so its cells say more than "required".
        foreach (var row in Rows())
        {
            foreach (var property in Names(row[0]).SelectMany(name => Keys[name]).Where(property => property.DeclaringType != typeof(Sensors)))
            {
                Assert.True(row.Contains("required") == IsRequired(property), $"{row[0]}: {(IsRequired(property) ? "is" : "is not")} required");
            }
        }
    }

    /// <summary>The schema's bounds are held against the program's elsewhere; a number that the manual leaves out is found by refusals alone.</summary>
    [Fact]
    public void Every_bound_of_a_number_stands_in_the_manual_too()
    {
        var compared = 0;
        var rows = Rows().Select(row => (Names: Names(row[0]).ToHashSet(StringComparer.Ordinal), Text: string.Join(' ', row))).ToList();
        using var schema = JsonDocument.Parse(Repository.Text("config", "station.schema.json"));
        foreach (var (key, bound) in Bounds("", schema.RootElement).Where(one => one.Key is not ("zeroCounts" or "countsPerKilogram")))
        {
            var told = string.Concat(rows.Where(row => row.Names.Contains(key)).Select(row => row.Text).DefaultIfEmpty(Manual)).Replace(",", "", StringComparison.Ordinal).Replace('−', '-');
            compared++;
            Assert.True(Regex.IsMatch(told, $@"(?<![\d.]){Regex.Escape(bound.ToString("0.######", CultureInfo.InvariantCulture))}(?![\d]|\.\d)"), $"{key}: {bound} is not told");
        }

        Assert.True(compared > 150, $"only {compared} bounds were compared");
    }

    private static IEnumerable<(string Key, double Bound)> Bounds(string key, JsonElement at) =>
        at.ValueKind != JsonValueKind.Object ? []
        : at.EnumerateObject().SelectMany(part => part.Name switch
        {
            "minimum" or "maximum" when part.Value.ValueKind == JsonValueKind.Number => [(key, part.Value.GetDouble())],
            "properties" or "$defs" => part.Value.EnumerateObject().SelectMany(inner => Bounds(inner.Name, inner.Value)),
            "items" => Bounds(key, part.Value),
            _ => [],
        });

    /// <summary>The program's default of a simple key, as the table writes it; null when there is none.</summary>
    private static string? Default(PropertyInfo property)
    {
        var value = IsRequired(property) ? null : property.GetValue(Activator.CreateInstance(property.DeclaringType!));
        return value switch
        {
            bool fact => fact ? "true" : "false",
            double number => number.ToString("0.####", CultureInfo.InvariantCulture),
            int number => number.ToString(CultureInfo.InvariantCulture),
            Enum choice => JsonNamingPolicy.CamelCase.ConvertName(choice.ToString()),
            string { Length: > 0 } text => text,
            _ => null,
        };
    }

    private static bool IsRequired(PropertyInfo property) => property.GetCustomAttribute<RequiredMemberAttribute>() is not null;

    private static Dictionary<string, List<PropertyInfo>> KeysOf(Type type, Dictionary<string, List<PropertyInfo>> found)
    {
        foreach (var property in type.GetProperties().Where(p => p.CanWrite))
        {
            var name = JsonNamingPolicy.CamelCase.ConvertName(property.Name);
            if (!found.TryGetValue(name, out var same))
            {
                found[name] = same = [];
            }

            same.Add(property);
            var inner = property.PropertyType.IsGenericType ? property.PropertyType.GetGenericArguments()[0] : property.PropertyType;
            if (inner.IsClass && inner.Assembly == typeof(Station).Assembly && same.Count == 1)
            {
                KeysOf(inner, found);
            }
        }

        return found;
    }

    private static IEnumerable<string[]> Rows() => Manual[Manual.IndexOf("## A station file", StringComparison.Ordinal)..]
        .Split('\n')
        .Where(line => line.StartsWith("| `", StringComparison.Ordinal))
        .Select(line => line.Trim('|', ' ').Split('|', StringSplitOptions.TrimEntries));

    private static IEnumerable<string> Names(string text) => Quoted().Matches(text)
        .SelectMany(match => match.Groups[1].Value.Split('.'))
        .Select(name => name.Replace("[]", "", StringComparison.Ordinal));

    [GeneratedRegex("`([^`\n]+)`")]
    private static partial Regex Quoted();

    [GeneratedRegex("^### .*$", RegexOptions.Multiline)]
    private static partial Regex Headings();

    [GeneratedRegex("[a-zA-Z]+")]
    private static partial Regex Words();
}
