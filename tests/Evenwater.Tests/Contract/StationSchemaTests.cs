using System.Globalization;
using System.Reflection;
using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using Evenwater.Core.Stations;
using Evenwater.Options;
using Evenwater.Tests.Documents;
using Json.Schema;

namespace Evenwater.Tests.Contract;

/// <summary>config/station.schema.json says of a station file what the program says of it, key by key and both ways.</summary>
public sealed partial class StationSchemaTests
{
    private static readonly JsonDocumentOptions Commented = new() { CommentHandling = JsonCommentHandling.Skip, AllowTrailingCommas = true };
    private static readonly JsonNode File = JsonNode.Parse(Repository.Text("config", "station.schema.json"))!;
    private static readonly JsonSchema Schema = JsonSchema.FromText(File.ToJsonString());
    private static readonly Dictionary<string, JsonObject> Told = StationKeys.Of(File.AsObject(), "", []);
    private static readonly Dictionary<string, PropertyInfo> Known = StationKeys.Of(typeof(Station), "", []);

    public static TheoryData<string> Keys => [.. Told.Keys];

    [Fact]
    public void The_schema_has_every_key_of_the_program_and_no_other()
    {
        Assert.True(Known.Count > 100, $"only {Known.Count} keys were found by reflection");
        Assert.Equal(Known.Keys.Order(StringComparer.Ordinal), Told.Keys.Order(StringComparer.Ordinal));
    }

    [Fact]
    public void Every_example_station_passes()
    {
        var files = Directory.GetFiles(Path.Combine(Repository.Root, "config", "stations"), "*.json");
        Assert.True(files.Length >= 2);
        Assert.All(files, file => Assert.Equal("", Wrong(JsonNode.Parse(System.IO.File.ReadAllText(file), null, Commented)!)));
        Assert.Equal("", Wrong(Full()));
        Assert.Empty(StationFile.Parse(Full().ToJsonString()).Problems);
    }

    [Theory]
    [MemberData(nameof(Keys))]
    public void A_key_has_its_description_its_unit_its_default_and_is_required_as_in_the_program(string key)
    {
        var (told, known) = (Told[key], Known[key]);
        Assert.InRange(((string)told["description"]!).Length, 4, 300);
        var type = Nullable.GetUnderlyingType(known.PropertyType) ?? known.PropertyType;
        Assert.Equal(type == typeof(double) || (type == typeof(int) && !key.EndsWith("Line", StringComparison.Ordinal)), told["x-unit"] is not null && !key.EndsWith("Line", StringComparison.Ordinal));
        var parent = Parent(key) is { Length: > 0 } above ? Told[above] : File.AsObject();
        Assert.Equal(IsNeeded(key), (parent["items"] ?? parent)["required"]!.AsArray().Any(name => (string)name! == key.Split('.')[^1]));
        var ours = StationKeys.IsRequired(known) ? null : known.GetValue(Activator.CreateInstance(known.DeclaringType!));
        var expected = ours switch
        {
            bool fact => fact ? "true" : "false",
            double or int => ((IConvertible)ours).ToString(CultureInfo.InvariantCulture),
            Enum choice => $"\"{JsonNamingPolicy.CamelCase.ConvertName(choice.ToString())}\"",
            string { Length: > 0 } text => $"\"{text}\"",
            _ => null,
        };
        Assert.Equal(expected, told["default"]?.ToJsonString());
        if (type.IsEnum) Assert.Equal(Enum.GetNames(type).Select(JsonNamingPolicy.CamelCase.ConvertName), told["enum"]!.AsArray().Where(v => v is not null).Select(v => (string)v!));
    }

    [Theory]
    [MemberData(nameof(Keys))]
    public void A_value_just_outside_its_range_is_refused_by_both_and_the_range_is_the_same(string key)
    {
        var odd = SchemaRange.Outside(Told[key]).ToList();
        Assert.NotEmpty(odd);
        foreach (var (value, range) in odd)
        {
            var file = With(key, value);
            Assert.True(Wrong(file).Length > 0, $"the schema lets {key} be {value?.ToJsonString()}");
            var problems = StationFile.Parse(file.ToJsonString()).Problems.Where(problem => Plural(problem.Key) == key).ToList();
            Assert.True(problems.Count > 0, $"the program lets {key} be {value?.ToJsonString()}");
            if (range is not null) Assert.Contains(problems, problem => problem.Allowed.StartsWith(range, StringComparison.Ordinal));
        }
    }

    [Theory]
    [MemberData(nameof(Keys))]
    public void A_bound_itself_is_accepted_by_the_schema_and_is_within_the_program_s_range(string key)
    {
        foreach (var (value, range) in SchemaRange.Bounds(Told[key]))
        {
            var file = With(key, value);
            Assert.Equal("", Wrong(file));
            // What the bound does to the geometry is another matter: those problems tell other ranges.
            Assert.DoesNotContain(StationFile.Parse(file.ToJsonString()).Problems, problem => Plural(problem.Key) == key && problem.Allowed.StartsWith(range, StringComparison.Ordinal));
        }
    }

    [Theory]
    [MemberData(nameof(Keys))]
    public void A_range_of_the_program_is_the_schema_s(string key)
    {
        var told = Told[key];
        if (told["x-unit"] is null || told["enum"] is not null) return;
        Assert.True(Wrong(With(key, JsonValue.Create(-1_000_000_000))).Length > 0);
        var problem = StationFile.Parse(With(key, JsonValue.Create(1_000_000_000)).ToJsonString()).Problems.First(problem => Plural(problem.Key) == key);
        Assert.Equal(told["multipleOf"] is not null, StationFile.Parse(With(key, JsonValue.Create(12.5)).ToJsonString()).Problems.Any(p => p.Allowed.StartsWith("full", StringComparison.Ordinal)));
        var ends = told["anyOf"]?[0] ?? told; // 100 to 8000000, or the same below 0
        var fixedRange = Range().Match(problem.Allowed);
        if (!fixedRange.Success || key == "sensors.level.zeroVolts") return; // to its full scale
        Assert.Equal((fixedRange.Groups[1].Value, fixedRange.Groups[2].Value), (SchemaRange.Text((double)ends["minimum"]!), SchemaRange.Text((double)ends["maximum"]!)));
    }

    [Theory]
    [MemberData(nameof(Keys))]
    public void Null_text_for_a_number_an_unknown_key_and_a_missing_one_are_judged_alike(string key)
    {
        // Null is no value of a key that has none; where it is allowed, what else it does (a float without its line) is the program's alone.
        var nothing = With(key, null);
        Assert.Equal(StationFile.Parse(nothing.ToJsonString()).Problems.Any(problem => Plural(problem.Key) == key && problem.Value == "null"), Wrong(nothing).Length > 0);
        if (Told[key]["properties"] is not null)
        {
            var more = With($"{key}.colour", JsonValue.Create(1));
            Assert.True(Wrong(more).Length > 0);
            Assert.Contains(StationFile.Parse(more.ToJsonString()).Problems, problem => problem.Value == "unknown key");
        }

        var less = Full();
        var (parent, name) = Place(less, key);
        parent.Remove(name);
        Assert.Equal(IsNeeded(key), Wrong(less).Length > 0);
        if (IsNeeded(key)) Assert.Contains(StationFile.Parse(less.ToJsonString()).Problems, problem => Plural(problem.Key) == key);
    }

    /// <summary>The marine example with everything else that a file may have.</summary>
    private static JsonObject Full()
    {
        var file = JsonNode.Parse(Repository.Text("config", "stations", "sim-lagoon.json"), null, Commented)!.AsObject();
        file["drawOffs"] = new JsonArray(new JsonObject { ["atSeconds"] = 3600, ["litres"] = 1.5, ["relativeSd"] = 0.02 });
        file["pacing"] = new JsonObject { ["path"] = "line", ["overHours"] = 8 };
        file["routine"] = new JsonArray(new JsonObject { ["kind"] = "dose", ["dueEveryDays"] = 1, ["about"] = "iron" });
        foreach (var section in File["properties"]!.AsObject().Where(p => (string?)p.Value!["type"]?.ToString() == "object").Select(p => p.Key))
        {
            if (!file.ContainsKey(section)) file[section] = new JsonObject();
        }

        return file;
    }

    private static JsonObject With(string key, JsonNode? value)
    {
        var file = Full();
        var (parent, name) = Place(file, key);
        parent[name] = value?.DeepClone();
        return file;
    }

    private static (JsonObject Parent, string Name) Place(JsonObject file, string key)
    {
        var parts = key.Split('.');
        var at = parts[..^1].Aggregate((JsonNode)file, (node, part) => part is "drawOffs" or "routine" ? node[part]![0]! : node[part]!);
        return (at.AsObject(), parts[^1]);
    }

    private static string Plural(string key) => key.Replace("[0]", "", StringComparison.Ordinal);

    private static string Parent(string key) => key.Contains('.', StringComparison.Ordinal) ? key[..key.LastIndexOf('.')] : "";

    private static string Wrong(JsonNode file)
    {
        var result = Schema.Evaluate(JsonSerializer.SerializeToElement(file), new EvaluationOptions { OutputFormat = OutputFormat.List });
        return result.IsValid ? "" : string.Join("; ", (result.Details ?? []).Where(d => d.Errors is { Count: > 0 }).Select(d => $"{d.InstanceLocation} {string.Join(' ', d.Errors!.Values)}").DefaultIfEmpty("wrong"));
    }

    /// <summary>The chip's label has a default, which is then refused.</summary>
    private static bool IsNeeded(string key) => StationKeys.IsRequired(Known[key]) || key == "sensors.gpioChipLabel";

    [GeneratedRegex(@"^(-?[\d.]+) to (-?[\d.]+)( |$)")]
    private static partial Regex Range();
}
