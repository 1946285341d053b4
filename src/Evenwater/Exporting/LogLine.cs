using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using Evenwater.Core;
using Evenwater.Log;

namespace Evenwater.Exporting;

/// <summary>A line of a complete export: exactly one of these.</summary>
internal sealed record LogLine
{
    /// <summary>The form of the file, so that a later program knows what it reads. 2 has photographs; 1 is read as well.</summary>
    public const int Form = 2;

    private static readonly JsonSerializerOptions Options = new()
    {
        PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
        DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
        UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
        RespectNullableAnnotations = true,
        RespectRequiredConstructorParameters = true,
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.CamelCase, allowIntegerValues: false) },
    };

    public LogStart? Log { get; init; }

    public BootRow? Boot { get; init; }

    public ConfigurationRow? Configuration { get; init; }

    public EntryLine? Entry { get; init; }

    public PhotographPart? Photograph { get; init; }

    public LogEnd? End { get; init; }

    public string Text() => JsonSerializer.Serialize(this, Options);

    /// <exception cref="JsonException">It is no line of such a file.</exception>
    public static LogLine Of(string text)
    {
        var line = JsonSerializer.Deserialize<LogLine>(text, Options) ?? throw new JsonException("the line is empty");
        return new object?[] { line.Log, line.Boot, line.Configuration, line.Entry, line.Photograph, line.End }.Count(part => part is not null) == 1
            ? line
            : throw new JsonException("a line holds one of log, boot, configuration, entry, photograph and end");
    }
}

/// <summary>The first line.</summary>
internal sealed record LogStart(int Form, string Identity, long DroppedTo);

/// <summary>The last line: without it the file was cut off.</summary>
internal sealed record LogEnd(long Entries, int Photographs = 0);

/// <summary>A part of a photograph's file; the parts of one follow one another.</summary>
/// <param name="Name">The SHA-256 of the whole file, by which notes name it.</param>
/// <param name="Bytes">How long the whole file is.</param>
/// <param name="Part">The next bytes of it.</param>
internal sealed record PhotographPart(string Name, long Bytes, byte[] Part)
{
    /// <summary>Bytes of a part at the most: a line of base64 that is no longer than that of a configuration. Our own choice.</summary>
    public const int MostBytes = 192 * 1024;
}

/// <summary>One channel's raw sample: the device's integer, the reason, and how long before the entry it was taken.</summary>
internal sealed record SampleLine(Channel Channel, int Code, Reason Reason, long AgeNs);

/// <summary>An entry with all it holds. The body is the log's own text.</summary>
internal sealed record EntryLine(
    long Id, long Boot, long Configuration, long MonoNs, ClockQuality Clock, EntryKind Kind,
    long? Run = null, long? WallMs = null, string? Body = null, IReadOnlyList<SampleLine>? Samples = null)
{
    public static EntryLine Of(Entry entry)
    {
        List<SampleLine>? lines = null;
        if (entry.Samples is { } samples)
        {
            lines = [];
            for (var channel = default(Channel); (int)channel < Channels.Count; channel++)
            {
                var sample = samples[channel];
                if (sample.Reason != Reason.NotFitted)
                {
                    lines.Add(new(channel, sample.Code, sample.Reason, entry.At.Nanoseconds - sample.TakenAt.Nanoseconds));
                }
            }
        }

        return new EntryLine(
            entry.Id, entry.BootId, entry.ConfigurationId, entry.At.Nanoseconds, entry.ClockQuality, entry.Kind,
            entry.RunId, entry.Wall?.ToUnixTimeMilliseconds(), entry.Body, lines);
    }

    /// <summary>The entry again.</summary>
    public Entry Back(string station)
    {
        RawSamples? samples = null;
        if (Samples is not null)
        {
            var all = RawSamples.None();
            foreach (var sample in Samples)
            {
                all[sample.Channel] = new RawSample(sample.Code, sample.Reason, new MonotonicTime(MonoNs - sample.AgeNs));
            }

            samples = all;
        }

        return new Entry
        {
            Id = Id,
            BootId = Boot,
            ConfigurationId = Configuration,
            Station = station,
            RunId = Run,
            At = new MonotonicTime(MonoNs),
            Wall = WallMs is { } wall ? DateTimeOffset.FromUnixTimeMilliseconds(wall) : null,
            ClockQuality = Clock,
            Kind = Kind,
            Body = Body,
            Samples = samples,
        };
    }
}
