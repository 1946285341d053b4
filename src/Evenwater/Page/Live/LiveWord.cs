using System.Text.Json;
using System.Text.Json.Serialization;

namespace Evenwater.Page.Live;

/// <summary>One station in one event of the stream: whole by itself, so that whoever missed some has missed nothing.</summary>
/// <param name="Station">Its name.</param>
/// <param name="At">When it was said, by the station's own clock.</param>
/// <param name="Speed">How many station seconds pass in a second.</param>
/// <param name="SilentSeconds">How long ago the station itself said it, s.</param>
/// <param name="Word">The state in a word or two.</param>
/// <param name="Sentence">What is happening.</param>
/// <param name="Standing">Where the run stands, and for how long it has been going.</param>
/// <param name="Valve">Where the valve stands.</param>
/// <param name="Shape">Changes when the page has to be drawn anew: see <see cref="Told.Shape"/>.</param>
/// <param name="Values">The values; left out in the stream of all stations.</param>
internal sealed record LiveWord(
    string Station, DateTimeOffset At, double Speed, double SilentSeconds, string Word, string Sentence, string Standing, string Valve, string Shape,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)] IReadOnlyList<LiveValue>? Values)
{
    public static LiveWord Of(Posted posted, bool withValues)
    {
        var told = new Told(posted);
        var view = told.View;
        return new LiveWord(
            view.Name, view.Now, view.Speed, posted.SilentSeconds, told.WordText, told.Sentence, told.Standing, told.Valve, told.Shape,
            withValues ? [.. told.Values.Select(LiveValue.Of)] : null);
    }
}

/// <summary>One value as it is shown.</summary>
/// <param name="Label">What it is.</param>
/// <param name="Shown">The figure or the word, without the unit; a dash when there is none.</param>
/// <param name="Unit">Its unit.</param>
/// <param name="Range">The 90 % range of an estimate, as text.</param>
/// <param name="Reason">Why there is no value, or why it is not believed.</param>
/// <param name="AgeSeconds">Station s; null when it was never read.</param>
/// <param name="StaleAfterSeconds">Older than this is not to be relied on, station s.</param>
internal sealed record LiveValue(string Label, string Shown, string Unit, string? Range, string? Reason, double? AgeSeconds, double StaleAfterSeconds)
{
    public static LiveValue Of(ValueLine value) => new(value.Label, value.Shown, value.Unit, value.Range, value.Reason, value.AgeSeconds, value.StaleAfterSeconds);
}

/// <summary>One event of the stream of all stations.</summary>
/// <param name="Shape">Changes when the page of all has to be drawn anew.</param>
/// <param name="Stations">Most urgent first.</param>
internal sealed record LiveWords(string Shape, IReadOnlyList<LiveWord> Stations)
{
    public static LiveWords Of(IReadOnlyList<Posted> all) => new(Told.ShapeOf(all), [.. all.Select(p => LiveWord.Of(p, withValues: false))]);
}

[JsonSourceGenerationOptions(PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase)]
[JsonSerializable(typeof(LiveWord))]
[JsonSerializable(typeof(LiveWords))]
internal sealed partial class LiveJson : JsonSerializerContext;
