using Evenwater.Core.Safety;
using Evenwater.Log;
using Evenwater.Options;
using Evenwater.Running;
using Microsoft.Data.Sqlite;
using Spectre.Console;

namespace Evenwater.Commands;

/// <summary>The cautions on a terminal, until a first run has acknowledged them.</summary>
internal static class CautionText
{
    /// <summary>Whether a run of the station was ever begun by a person, who was shown them. What can not be read counts as no.</summary>
    public static bool IsAcknowledged(string station)
    {
        try
        {
            using var log = new LogReader(Places.State(demo: false), busySeconds: 2);
            return log.HasEvent(station, StationLoop.CautionsRead);
        }
        catch (Exception e) when (e is SqliteException or LogUnusableException or IOException or UnauthorizedAccessException)
        {
            return false;
        }
    }

    public static void Write(IAnsiConsole paper)
    {
        paper.MarkupLine($"[bold]{Markup.Escape(SafetyCautions.Title)}[/]");
        paper.WriteLine(SafetyCautions.Defers);
        foreach (var caution in SafetyCautions.All)
        {
            paper.WriteLine($"- {caution.Topic}: {caution.Text}");
        }

        paper.WriteLine();
    }
}
