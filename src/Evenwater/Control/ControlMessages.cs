using System.Text.Json;
using System.Text.Json.Serialization;
using Evenwater.Core;
using Evenwater.Core.Keeping;
using Evenwater.Core.Safety;
using Evenwater.Log;
using Evenwater.Running;

namespace Evenwater.Control;

/// <summary>One line asked over the daemon's own socket.</summary>
/// <param name="Verb">what is wanted, such as begin or status.</param>
/// <param name="Station">Which; may be left out when there is only one.</param>
/// <param name="Known">With begin: what the keeper has measured.</param>
/// <param name="Drawn">With drawn: how much was taken out.</param>
/// <param name="Note">With finish and proof: what the keeper saw, kept in the log. With release: who is led through it. With shelve and retire: why. With alarms: "all" for every row.</param>
/// <param name="Alarm">With what is about one alarm: its name.</param>
/// <param name="Seconds">With shelve: for how long.</param>
internal sealed record ControlAsk(string Verb, string? Station = null, StartKnown? Known = null, string? Note = null, Drawn? Drawn = null,
    string? Alarm = null, double? Seconds = null)
{
    /// <summary>With note: what is to be written into the station's book.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public Note? Written { get; init; }

    /// <summary>With begin: that its person was asked about the run that is held, and answered for that one alone.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingDefault)]
    public bool GoesOn { get; init; }
}

/// <summary>One line answered.</summary>
/// <param name="Ok">Whether it was done.</param>
/// <param name="Text">One sentence.</param>
/// <param name="Readings">Of readings: every fitted channel.</param>
internal sealed record ControlAnswer(bool Ok, string Text, IReadOnlyList<ControlReading>? Readings = null)
{
    /// <summary>Of log: how it stands.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public LogFigures? Log { get; init; }

    /// <summary>Of raw: what the drivers gave, of every fitted channel.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public IReadOnlyList<RawReading>? Raw { get; init; }

    /// <summary>Of raw: drops counted since the daemon began.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public long? Drops { get; init; }

    /// <summary>Of release: the arrival that the run names, or null.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public string? Arrival { get; init; }

    /// <summary>Of phase and raw: where the station stands.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public Phase? Phase { get; init; }

    /// <summary>Of phase: the station's file as the daemon read it at its start (see <see cref="ServedFile"/>).</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public string? Served { get; init; }

    /// <summary>Of phase: what a begin would be answered that nobody stays beside; null when it may be left alone.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public string? NotAlone { get; init; }

    /// <summary>Of proof, last: whether there never was one, so that nothing is wrong with it.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingDefault)]
    public bool NeverDone { get; init; }

    /// <summary>Of phase: why nobody begins, or goes on with the held run, just now (see <see cref="Running.Finishing"/> and <see cref="Running.InCup"/>); null when one may.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public string? Finishing { get; init; }

    /// <summary>Whether no station was asked, because the ask was not in order: then nobody else keeps it, and who asked is told that it was wrong use.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingDefault)]
    public bool NotUnderstood { get; init; }

    /// <summary>Whether there is no station of that name, nor will there be.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingDefault)]
    public bool NoSuchStation { get; init; }

    /// <summary>Of note and proof: whether it is refused for what it says, which is wrong use as well, and nothing that the log keeps.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingDefault)]
    public bool CanNotBe { get; init; }

    /// <summary>Of note: why it is refused, key by key. Not sent: the text says it all.</summary>
    [JsonIgnore]
    public IReadOnlyList<Core.Stations.Problem> Problems { get; init; } = [];

    /// <summary>Of note: its name in the book. Not sent.</summary>
    [JsonIgnore]
    public string? NoteId { get; init; }
}

/// <summary>One channel's latest screened reading: a value, or the reason there is none.</summary>
internal sealed record ControlReading(Channel Channel, double? Value, Reason Reason, double TakenAtSeconds)
{
    public static IReadOnlyList<ControlReading> Of(Readings readings) =>
    [
        .. from i in Enumerable.Range(0, Channels.Count)
           let reading = readings[i]
           where reading.Reason != Reason.NotFitted
           select new ControlReading((Channel)i, reading.TryGet(out var value) ? value : null, reading.Reason, reading.TakenAt.Seconds),
    ];

    /// <summary>The same as the daemon had them.</summary>
    public static Readings Back(IReadOnlyList<ControlReading> all)
    {
        var readings = Readings.None();
        foreach (var one in all)
        {
            var at = MonotonicTime.FromSeconds(one.TakenAtSeconds);
            readings[one.Channel] = one.Value is { } value ? Reading.Of(value, at) : Reading.Missing(one.Reason, at);
        }

        return readings;
    }
}

/// <summary>One channel's latest integer as its driver gave it, or the reason there is none.</summary>
internal sealed record RawReading(Channel Channel, int Code, Reason Reason, double TakenAtSeconds)
{
    public static IReadOnlyList<RawReading> Of(RawSamples raw) =>
    [
        .. from i in Enumerable.Range(0, Channels.Count)
           let sample = raw[i]
           where sample.Reason != Reason.NotFitted
           select new RawReading((Channel)i, sample.Code, sample.Reason, sample.TakenAt.Seconds),
    ];

    /// <summary>The same as the daemon had them.</summary>
    public static RawSamples Back(IReadOnlyList<RawReading> all)
    {
        var raw = RawSamples.None();
        foreach (var one in all)
        {
            raw[one.Channel] = new RawSample(one.Code, one.Reason, MonotonicTime.FromSeconds(one.TakenAtSeconds));
        }

        return raw;
    }
}

internal static class ControlJson
{
    /// <summary>Longest line that is read, bytes.</summary>
    public const int MostBytes = 16 * 1024;

    public static readonly JsonSerializerOptions Options = new(JsonSerializerDefaults.Web)
    {
        UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
        RespectNullableAnnotations = true,
        AllowDuplicateProperties = false,
    };
}
