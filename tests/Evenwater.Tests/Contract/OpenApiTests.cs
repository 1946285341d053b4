using System.Net.Http.Json;
using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using Evenwater.Core.Keeping;
using Evenwater.Page.Journal;
using Evenwater.Tests.Documents;
using Evenwater.Tests.Page;
using Json.Schema;

namespace Evenwater.Tests.Contract;

/// <summary>config/openapi.json against what the page really answers: every address, both ways, and answers by their schemas.</summary>
public partial class OpenApiTests
{
    private static readonly JsonObject s_file = JsonNode.Parse(Repository.Text("config", "openapi.json"))!.AsObject();

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    private static IEnumerable<(string Name, JsonNode Operation)> Operations =>
        s_file["paths"]!.AsObject().SelectMany(p => p.Value!.AsObject().Select(o => ($"{o.Key.ToUpperInvariant()} {p.Key}", o.Value!)));

    [Fact]
    public async Task Every_address_of_the_interface_is_told_and_no_other()
    {
        await using var page = await ServedPage.StartAsync();
        var routes = page.Routes.Where(r => r.Contains(" /api/", StringComparison.Ordinal)).Order(StringComparer.Ordinal).ToList();
        Assert.Contains("POST /api/v1/stations/{name}/close", routes);
        var told = Operations.Select(o => o.Name).Order(StringComparer.Ordinal).ToList();
        Assert.True(told.SequenceEqual(routes), $"config/openapi.json lacks [{string.Join(", ", routes.Except(told))}] and has in vain [{string.Join(", ", told.Except(routes))}]");
    }

    [Fact]
    public void Every_operation_has_its_name_summary_parameters_and_the_problem_as_default()
    {
        Assert.Equal("3.1.0", (string)s_file["openapi"]!);
        Assert.Distinct(Operations.Select(o => (string)o.Operation["operationId"]!));
        Assert.All(Operations, o =>
        {
            Assert.NotEmpty((string)o.Operation["summary"]!);
            Assert.Equal("#/components/responses/Problem", (string)o.Operation["responses"]!["default"]!["$ref"]!);
            Assert.Contains(o.Operation["responses"]!.AsObject(), r => r.Key.StartsWith('2'));
            var inPath = (o.Operation["parameters"]?.AsArray() ?? []).Select(p => Resolve(p!)).Where(p => (string)p["in"]! == "path").Select(p => (string)p["name"]!);
            Assert.Equal(InPath().Matches(o.Name).Select(m => m.Groups[1].Value), inPath);
        });
    }

    [Fact]
    public void Every_reference_leads_somewhere_and_every_part_is_used()
    {
        var references = Reference().Matches(s_file.ToJsonString()).Select(m => m.Groups[1].Value).ToHashSet();
        Assert.All(references, r => Assert.NotNull(At(r)));
        Assert.All(
            s_file["components"]!.AsObject().Where(kind => kind.Key != "securitySchemes").SelectMany(kind => kind.Value!.AsObject().Select(part => $"#/components/{kind.Key}/{part.Key}")),
            part => Assert.Contains(part, references));
    }

    [Fact]
    public async Task What_is_answered_is_as_the_document_says()
    {
        foreach (var view in new[] { MadeUp.Night(1), MadeUp.Night(5.2), MadeUp.Alarm(), MadeUp.Night(1) with { Forecast = null } })
        {
            await using var page = await ServedPage.StartAsync(view);
            Assert.Null(Wrong("Posted", await JsonAsync(page.Client.GetAsync(new Uri("/api/v1/stations/sim-river", UriKind.Relative), Stop))));
            Assert.Null(Wrong("Answer", await JsonAsync(page.Client.PostAsync(new Uri("/api/v1/stations/sim-river/close", UriKind.Relative), null, Stop))));
            Assert.Null(Wrong("Problem", await JsonAsync(page.Client.GetAsync(new Uri("/api/v1/stations/nobody", UriKind.Relative), Stop))));
            Assert.Null(Wrong("Problem", await JsonAsync(page.Client.GetAsync(new Uri("/api/v1/history?station=nobody", UriKind.Relative), Stop))));
            var served = await page.Client.GetStringAsync(new Uri("/api/v1/openapi.json", UriKind.Relative), Stop);
            Assert.True(JsonNode.DeepEquals(s_file, JsonNode.Parse(served)));
        }
    }

    [Fact]
    public async Task Every_key_of_a_station_is_told_and_no_other()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(5.2) with { Zone = TimeZoneInfo.FindSystemTimeZoneById("Europe/Berlin") });
        var view = (await JsonAsync(page.Client.GetAsync(new Uri("/api/v1/stations/sim-river", UriKind.Relative), Stop)))["view"]!.AsObject();
        Assert.Equal(s_file["components"]!["schemas"]!["StationView"]!["properties"]!.AsObject().Select(p => p.Key).Order(StringComparer.Ordinal), view.Select(p => p.Key).Order(StringComparer.Ordinal));
    }

    /// <summary>Over MQTT nobody needs to say who writes, since the broker is named then; here the book would not know.</summary>
    [Fact]
    public void The_note_that_the_document_has_as_its_example_is_one_that_is_written()
    {
        var told = (string)At("#/paths/~1api~1v1~1stations~1{name}~1notes/post/requestBody/content/application~1json/schema/description")!;
        var note = JsonSerializer.Deserialize<Note>(told[told.IndexOf('{', StringComparison.Ordinal)..(told.IndexOf('}', StringComparison.Ordinal) + 1)], NoteRoutes.Form)!;
        Assert.Empty(NoteRules.Problems(note with { At = Log.LogFolder.Evening }, Book.Of([]), Log.LogFolder.Evening));
    }

    [Theory]
    [InlineData("Answer", """{ "station": "x" }""")]
    [InlineData("Answer", """{ "station": "x", "sentence": "y", "more": 1 }""")]
    [InlineData("Problem", """{ "title": "x", "status": 404, "detail": "y" }""")]
    [InlineData("Problem", """{ "type": "t", "title": "x", "status": 200, "detail": "y" }""")]
    [InlineData("Quantiles", """{ "p05": "1", "p25": 1, "p50": 1, "p75": 1, "p95": null, "cannotTell": false }""")]
    public void What_is_not_is_told(string schema, string answer) => Assert.NotNull(Wrong(schema, JsonNode.Parse(answer)!));

    private static async Task<JsonNode> JsonAsync(Task<HttpResponseMessage> asked)
    {
        using var answer = await asked;
        return (await answer.Content.ReadFromJsonAsync<JsonNode>(Stop))!;
    }

    private static string? Wrong(string name, JsonNode answer)
    {
        // OpenAPI 3.1's schemas are JSON Schema 2020-12 (OpenAPI 3.1.0, section 4.8.24).
        var whole = new JsonObject
        {
            ["$schema"] = "https://json-schema.org/draft/2020-12/schema", ["$ref"] = $"#/$defs/{name}", ["$defs"] = s_file["components"]!["schemas"]!.DeepClone(),
        };
        var schema = JsonSchema.FromText(whole.ToJsonString().Replace("#/components/schemas/", "#/$defs/", StringComparison.Ordinal));
        var result = schema.Evaluate(JsonSerializer.SerializeToElement(answer), new EvaluationOptions { OutputFormat = OutputFormat.List, RequireFormatValidation = true });
        return result.IsValid ? null : string.Join(", ", (result.Details ?? []).Where(d => d.Errors is { Count: > 0 }).Select(d => $"{d.InstanceLocation} {string.Join(' ', d.Errors!.Values)}"));
    }

    private static JsonNode Resolve(JsonNode part) => part["$ref"] is { } reference ? At((string)reference!)! : part;

    private static JsonNode? At(string reference) => reference.Split('/').Skip(1).Aggregate((JsonNode?)s_file, (node, key) => node?[key.Replace("~1", "/", StringComparison.Ordinal)]);

    [GeneratedRegex("{([a-z]+)}")]
    private static partial Regex InPath();

    [GeneratedRegex("\"\\$ref\":\"([^\"]+)\"")]
    private static partial Regex Reference();
}
