using System.Globalization;
using System.Text.Json;
using Evenwater.Followers;

namespace Evenwater.Page.Opening;

/// <summary>What came with a request to open or reset: the fields of a form, or of a JSON object.</summary>
internal sealed class OpeningAsk
{
    private readonly Dictionary<string, string> _fields;

    private OpeningAsk(Dictionary<string, string> fields) => _fields = fields;

    /// <summary>What is asked: open or reset; null when it is neither.</summary>
    public string? Verb => _fields.GetValueOrDefault("verb") is { } verb && ChallengeBook.Verbs.Contains(verb) ? verb : null;

    /// <summary>What was given for it.</summary>
    public string Given => _fields.GetValueOrDefault("verb") ?? "";

    /// <summary>Whether somebody stays beside it.</summary>
    public bool Attended => _fields.GetValueOrDefault("attended") is "on" or "true" or "True";

    /// <summary>The confirmation. What is missing or no number fits no challenge.</summary>
    public SignedAsk Signed => new(Text("nonce"), Number("millilitres"), Number("seconds"), Text("mac"));

    /// <summary>Reads it. A body that is no object of JSON is as one without fields.</summary>
    public static async Task<OpeningAsk> ReadAsync(HttpRequest request)
    {
        if (request.HasFormContentType)
        {
            return new((await request.ReadFormAsync()).ToDictionary(field => field.Key, field => field.Value.ToString(), StringComparer.Ordinal));
        }

        try
        {
            using var body = await JsonDocument.ParseAsync(request.Body);
            return new(body.RootElement.ValueKind == JsonValueKind.Object
                ? body.RootElement.EnumerateObject().DistinctBy(p => p.Name).ToDictionary(p => p.Name, p => p.Value.ToString(), StringComparer.Ordinal)
                : []);
        }
        catch (JsonException)
        {
            return new([]);
        }
    }

    /// <summary>What was measured for a run that begins, and what of it can not be taken.</summary>
    public (StartMeasured Measured, IReadOnlyList<Frame.FieldRefusal> Refused) Measured(Beginning? begins) => StartMeasured.Of(Text, begins);

    /// <summary>All that was typed.</summary>
    public IReadOnlyDictionary<string, string> Fields => _fields;

    private string Text(string field) => _fields.GetValueOrDefault(field) ?? "";

    private long Number(string field) => long.TryParse(Text(field), NumberStyles.None, CultureInfo.InvariantCulture, out var number) ? number : -1;
}
