using Evenwater.Keeping;

namespace Evenwater.Page.Looking;

/// <summary>What swung in a tank.</summary>
/// <param name="Station">Of which station.</param>
/// <param name="From">From this time on.</param>
/// <param name="To">To this one.</param>
/// <param name="Read">Which channels were read at all, and how well each is known.</param>
/// <param name="Episodes">In order of time.</param>
/// <param name="DamagedRows">How many rows of the log could not be read any more, and are left out.</param>
/// <param name="FormerConfiguration">Whether how the station was configured last can not be read, and an earlier configuration stands in its place.</param>
public sealed record SwingsJson(
    string Station, DateTimeOffset From, DateTimeOffset To, IReadOnlyList<ReadChannel> Read, IReadOnlyList<EpisodeJson> Episodes, int DamagedRows, bool FormerConfiguration);

/// <summary>Swings that belong together.</summary>
/// <param name="At">When it began.</param>
/// <param name="Earliest">Not before.</param>
/// <param name="Latest">Not after.</param>
/// <param name="Sentence">What it was.</param>
/// <param name="Slow">Whether it came slowly.</param>
/// <param name="Channels">What moved, the strongest first.</param>
/// <param name="Probe">What speaks for the probe and not the water.</param>
/// <param name="Causes">What may have made it, the likeliest first.</param>
/// <param name="Notes">The book's entries within a day.</param>
public sealed record EpisodeJson(
    DateTimeOffset At, DateTimeOffset Earliest, DateTimeOffset Latest, string Sentence, bool Slow,
    IReadOnlyList<SwungJson> Channels, string Probe, IReadOnlyList<CauseJson> Causes, IReadOnlyList<string> Notes);

/// <summary>A channel of it: how it came (level, slope, or unrest, whose size is how many times as restless it became); half width is of the 95 % interval of each of the two. Before is what was to be expected at the hours of after, where the time of day brings more than that; else what was.</summary>
public sealed record SwungJson(string Channel, string Shape, string Unit, double? Before, double? After, double? HalfWidth, double? PerHour, double Size, string SizeUnit, double Sigmas, double Hours, bool BeforeIsExpected);

/// <summary>What may have made it.</summary>
public sealed record CauseJson(string Cause, string Words, double Score, IReadOnlyList<EvidenceJson> Evidence);

/// <summary>A number for it (above 0) or against it.</summary>
public sealed record EvidenceJson(string Text, double Weight);
