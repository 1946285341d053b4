using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;
using CsCheck;
using Evenwater.Core.Stations;
using Evenwater.Options;

namespace Evenwater.Tests.Options;

/// <summary>The good file, damaged: whatever is done to it, the answer is a station that passes or problems with a place.</summary>
public class StationFileMutationTests
{
    private static readonly JsonDocumentOptions Lenient = new() { CommentHandling = JsonCommentHandling.Skip, AllowTrailingCommas = true };

    private static readonly Gen<JsonNode?> Values = Gen.OneOf<JsonNode?>(
        Gen.Double.Where(double.IsFinite).Select(d => (JsonNode?)JsonValue.Create(d)),
        Gen.Int[-2, 600].Select(i => (JsonNode?)JsonValue.Create(i)),
        Gen.String.Select(s => (JsonNode?)JsonValue.Create(s)),
        Gen.OneOf("fill", "standpipe", "board", "simulated", "sim-x", "28-00000000000a").Select(s => (JsonNode?)JsonValue.Create(s)),
        Gen.Bool.Select(b => (JsonNode?)JsonValue.Create(b)),
        Gen.OneOf<Func<JsonNode?>>(() => null, () => new JsonObject(), () => new JsonArray(), () => new JsonObject { ["litres"] = 1 },
            () => new JsonArray(1, 2)).Select(make => make()));

    [Fact]
    public void Deleting_renaming_or_replacing_any_value_never_throws_and_never_passes_a_bad_station()
    {
        var (good, bad) = (0, 0);
        Gen.Select(Gen.Int[0, 10_000], Gen.Int[0, 2], Gen.String[0, 12], Values).Array[1, 4].Sample(mutations =>
        {
            var root = JsonNode.Parse(GoodFile.Text, documentOptions: Lenient)!.AsObject();
            foreach (var (pick, how, name, value) in mutations) Mutate(root, pick, how, name, value);
            if (AssertSound(StationFile.Parse(root.ToJsonString()))) Interlocked.Increment(ref good);
            else Interlocked.Increment(ref bad);
        }, iter: 3_000);
        Assert.True(good > 30 && bad > 300, $"Both outcomes must have been met: {good} good, {bad} bad.");
    }

    [Fact]
    public void Damaged_bytes_never_throw()
    {
        var good = Encoding.UTF8.GetBytes(GoodFile.Text);
        Gen.Select(Gen.Int[0, good.Length - 1], Gen.Byte, Gen.Int[0, 3]).Array[1, 3].Sample(edits =>
        {
            var bytes = good.ToList();
            foreach (var (where, with, how) in edits)
            {
                if (bytes.Count == 0) break; // cut short, and then the last byte went
                var at = Math.Min(where, bytes.Count - 1);
                if (how == 0) bytes.RemoveAt(at);
                else if (how == 1) bytes.Insert(at, with);
                else if (how == 2) bytes[at] = with;
                else if (at > 0) bytes.RemoveRange(at, bytes.Count - at); // cut short
            }

            AssertSound(StationFile.Parse(bytes.ToArray()));
        }, iter: 3_000);
    }

    private static bool AssertSound(StationReading reading)
    {
        if (reading.Station is { } station)
        {
            Assert.Empty(reading.Problems);
            Assert.Empty(StationRules.Check(station));
            return true;
        }

        Assert.NotEmpty(reading.Problems);
        Assert.All(reading.Problems, problem => Assert.NotEmpty(problem.Key));
        return false;
    }

    private static void Mutate(JsonObject root, int pick, int how, string name, JsonNode? value)
    {
        var places = Places(root).ToList();
        if (places.Count == 0) return;
        var (parent, key) = places[pick % places.Count];
        if (how == 0)
        {
            parent.Remove(key);
        }
        else if (how == 1)
        {
            var kept = parent[key]?.DeepClone();
            parent.Remove(key);
            parent[name] = kept;
        }
        else
        {
            parent[key] = value?.DeepClone();
        }
    }

    private static IEnumerable<(JsonObject Parent, string Key)> Places(JsonObject node)
        => node.SelectMany(pair => (pair.Value is JsonObject child ? Places(child) : []).Prepend((node, pair.Key)));
}
