using Evenwater.Page;

namespace Evenwater.Reporting;

/// <summary>One figure or fact, and what it is.</summary>
public sealed record ReportRow(string What, string Value);

/// <summary>One thing that happened, at the place's own time.</summary>
public sealed record ReportMoment(string When, string Text);

/// <summary>One way in which the water changed, beside its limit.</summary>
/// <param name="What">What is limited.</param>
/// <param name="Seen">The greatest that was seen, or why it is not known.</param>
/// <param name="Limit">The limit, or that there is none.</param>
/// <param name="Source">Where the limit comes from.</param>
/// <param name="Passed">Whether what was seen is beyond it.</param>
public sealed record ReportRate(string What, string Seen, string Limit, string Source, bool Passed);

/// <summary>All that is told of one run on paper. Texts are as they were written; whoever renders them encodes them.</summary>
public sealed record RunReport
{
    /// <summary>The station.</summary>
    public required string Station { get; init; }

    /// <summary>The run's number in the log.</summary>
    public required long Run { get; init; }

    /// <summary>Whether a simulated rig stood behind it.</summary>
    public bool Simulated { get; init; }

    /// <summary>When it was, in words.</summary>
    public required string When { get; init; }

    /// <summary>How it went, in a sentence.</summary>
    public required string Verdict { get; init; }

    /// <summary>What of the log can no longer be read, and what that means for the rest; null where all can.</summary>
    public string? Damage { get; init; }

    /// <summary>The times and volumes of the run.</summary>
    public IReadOnlyList<ReportRow> Course { get; init; } = [];

    /// <summary>What came.</summary>
    public IReadOnlyList<ReportRow> Arrival { get; init; } = [];

    /// <summary>How they were found afterwards.</summary>
    public IReadOnlyList<ReportRow> Outcomes { get; init; } = [];

    /// <summary>What the animals were put through.</summary>
    public IReadOnlyList<ReportRate> Rates { get; init; } = [];

    /// <summary>What the limits said, in a sentence.</summary>
    public required string LimitsSaid { get; init; }

    /// <summary>The alarms, in order.</summary>
    public IReadOnlyList<ReportMoment> Alarms { get; init; } = [];

    /// <summary>What was asked and done, in order, the book's notes among it.</summary>
    public IReadOnlyList<ReportMoment> Happened { get; init; } = [];

    /// <summary>The photographs of the run's notes: of which note, and the file.</summary>
    public IReadOnlyList<ReportRow> Photographs { get; init; } = [];

    /// <summary>What the readings rest on.</summary>
    public IReadOnlyList<ReportRow> Calibrations { get; init; } = [];

    /// <summary>The curves; null when the log no longer has the readings.</summary>
    public StationView? View { get; init; }

    /// <summary>Where it comes from and when it was made.</summary>
    public required string Made { get; init; }
}
