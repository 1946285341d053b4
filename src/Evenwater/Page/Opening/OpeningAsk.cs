using System.Globalization;
using System.Text.Json;
using Evenwater.Followers;

namespace Evenwater.Page.Opening;

/// <summary>What came with a request to open or reset: the fields of a form, or of a JSON object.</summary>
internal sealed class OpeningAsk
{
    private static readonly string[] s_asked = ["verb", "attended", "startVolumeLitres", "byEye", "tankMicrosiemensPerCm", "token"];
    private static readonly string[] s_switches = ["attended", "byEye"];
    private static readonly JsonDocumentOptions s_once = new() { AllowDuplicateProperties = false };

    private readonly Dictionary<string, string> _fields;

    private OpeningAsk(Dictionary<string, string> fields) => _fields = fields;

    /// <summary>
    /// The first key of a program's question that is none, or is neither yes nor no: a volume under another name would be the station file's, and one by eye would pass for measured. A form is ours.
    /// </summary>
    public Frame.FieldRefusal? Unknown { get; private init; }

    /// <summary>What is asked: open or reset; null when it is neither.</summary>
    public string? Verb => _fields.GetValueOrDefault("verb") is { } verb && ChallengeBook.Verbs.Contains(verb) ? verb : null;

    /// <summary>What was given for it.</summary>
    public string Given => _fields.GetValueOrDefault("verb") ?? "";

    /// <summary>Whether somebody stays beside it.</summary>
    public bool Attended => IsYes(Text("attended"));

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
            using var body = await JsonDocument.ParseAsync(request.Body, s_once);
            if (body.RootElement.ValueKind != JsonValueKind.Object) return new([]);
            var fields = body.RootElement.EnumerateObject().ToDictionary(p => p.Name, p => p.Value.ToString(), StringComparer.Ordinal);
            return new(fields)
            {
                Unknown = fields.Keys.FirstOrDefault(key => !s_asked.Contains(key)) is { } key ? new(key, fields[key], $"no such key: {string.Join(", ", s_asked)}")
                    : s_switches.FirstOrDefault(name => fields.TryGetValue(name, out var given) && !IsYes(given) && !IsNo(given)) is { } name ? new(name, fields[name], "true or false") : null,
            };
        }
        catch (Exception e) when (e is JsonException or InvalidOperationException) // the second: text that is no Unicode
        {
            return new([]);
        }
    }

    /// <summary>Whether a switch is on, as a form or a program writes it.</summary>
    public static bool IsYes(string text) => text is "on" or "true" or "True" or "1";

    private static bool IsNo(string text) => text is "" or "off" or "false" or "False" or "0";

    /// <summary>What was measured for a run that begins, and what of it can not be taken.</summary>
    public (StartMeasured Measured, IReadOnlyList<Frame.FieldRefusal> Refused) Measured(Beginning? begins) => StartMeasured.Of(Text, begins);

    /// <summary>All that was typed.</summary>
    public IReadOnlyDictionary<string, string> Fields => _fields;

    private string Text(string field) => _fields.GetValueOrDefault(field) ?? "";

    private long Number(string field) => long.TryParse(Text(field), NumberStyles.None, CultureInfo.InvariantCulture, out var number) ? number : -1;
}
