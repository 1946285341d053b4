using System.IO.Compression;
using System.Text.Json;
using System.Text.Json.Nodes;
using Evenwater.Tests.Documents;
using Json.Schema;

namespace Evenwater.Tests.Contract;

/// <summary>
/// config/asyncapi.json by the JSON Schema of AsyncAPI 3.0.0 itself: schemas/3.0.0-without-$id.json of the AsyncAPI Initiative's specs 6.11.1, unchanged and
/// compressed, Apache-2.0 (LICENSE and NOTICE beside it).
/// </summary>
public class AsyncApiSchemaTests
{
    private static readonly JsonSchema s_schema = Read();

    [Fact]
    public void The_file_is_what_AsyncAPI_s_own_schema_allows() => Assert.Equal([], Problems(_ => { }));

    public static TheoryData<string, Action<JsonNode>> Spoilt => new()
    {
        { "no title", file => file["info"]!.AsObject().Remove("title") },
        { "a key of nobody's", file => file["moods"] = "good" },
        { "another version", file => file["asyncapi"] = "2.6.0" },
        { "an operation that neither sends nor receives", file => file["operations"]!.AsObject().First().Value!["action"] = "sing" },
        { "an operation without a channel", file => file["operations"]!.AsObject().First().Value!.AsObject().Remove("channel") },
        { "a channel's address that is a number", file => file["channels"]!["say"]!["address"] = 7 },
        { "a QoS that MQTT has not", file => file["operations"]!.AsObject().Select(o => o.Value!["bindings"]?["mqtt"]).OfType<JsonObject>().First()["qos"] = 5 },
    };

    [Theory]
    [MemberData(nameof(Spoilt), DisableDiscoveryEnumeration = true)]
    public void What_is_wrong_is_told(string what, Action<JsonNode> spoil) => Assert.True(Problems(spoil).Count > 0, what);

    private static List<string> Problems(Action<JsonNode> change)
    {
        var file = JsonNode.Parse(Repository.Text("config", "asyncapi.json"))!;
        change(file);
        using var json = JsonDocument.Parse(file.ToJsonString());
        var result = s_schema.Evaluate(json.RootElement, new EvaluationOptions { OutputFormat = OutputFormat.List });
        return result.IsValid ? [] : [.. (result.Details ?? []).SelectMany(d => (d.Errors ?? []).Select(e => $"{d.InstanceLocation}: {e.Value}")), "not valid"];
    }

    private static JsonSchema Read()
    {
        using var file = File.OpenRead(Path.Combine(Repository.Root, "tests", "Evenwater.Tests", "Contract", "AsyncApi", "3.0.0.schema.json.gz"));
        using var text = new StreamReader(new GZipStream(file, CompressionMode.Decompress));
        return JsonSchema.FromText(text.ReadToEnd());
    }
}
