using Evenwater.Core.Safety;

namespace Evenwater.Running;

/// <summary>The proof test in sentences.</summary>
internal static class ProofText
{
    /// <summary>How it stands.</summary>
    public static string Of(ProofRecord? last, Core.Stations.Station station, DateTimeOffset? wall)
    {
        if (last is null)
        {
            return "never done: run 'evenwater check --proof' before anything is left alone.";
        }

        var due = last.DueAt(station);
        var done = $"{last.At:yyyy-MM-dd} by {last.By}";
        return last.Failed is { } failed ? $"FAILED on {done} at the {ProofParts.Of(failed.Part).Name}: {failed.Why}. {ProofParts.Of(failed.Part).Mend}"
            : last.Missing(station) is { } missing ? $"passed on {done}, but the {ProofParts.Of(missing).Name} was fitted since and never tried: run 'evenwater check --proof'."
            : $"passed on {done}; {(wall > due ? $"OVERDUE since {due:yyyy-MM-dd}: run 'evenwater check --proof'" : $"due again on {due:yyyy-MM-dd}")}.";
    }

    /// <summary>Why the station may not be left alone, or null. Overdue alone does not forbid it: it is an alarm.</summary>
    public static string? WhyNotAlone(ProofRecord? last, Core.Stations.Station station) =>
        last is { Failed: null } && last.Missing(station) is null ? null : $"The proof test: {Of(last, station, null)}";
}
