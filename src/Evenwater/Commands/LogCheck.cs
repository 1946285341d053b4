using Evenwater.Control;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Options;
using Evenwater.Running;
using Microsoft.Data.Sqlite;

namespace Evenwater.Commands;

/// <summary>The log's part of the check: from the daemon that holds it, else from the file.</summary>
internal static class LogCheck
{
    /// <param name="findings">Where it is told.</param>
    /// <param name="state">The state folder.</param>
    /// <param name="plan">Who is to follow; null for the demo.</param>
    /// <param name="stations">The stations' names.</param>
    public static async Task TellAsync(CheckList findings, string state, FollowerPlan? plan, IReadOnlyList<string> stations)
    {
        if (await ControlClient.AskAsync(Places.Socket(state), new ControlAsk("log")) is { } answer)
        {
            findings.Judge(answer.Ok, "log", answer.Text);
            Followers(findings, answer.Log);
        }
        else if (!File.Exists(Path.Combine(state, LogFile.Name)))
        {
            findings.Note("log", "none yet");
        }
        else
        {
            FromFile(findings, state, plan, stations);
        }
    }

    private static void FromFile(CheckList findings, string state, FollowerPlan? plan, IReadOnlyList<string> stations)
    {
        try
        {
            using var look = new LogLook(state, TimeProvider.System.GetUtcNow());
            var planned = plan is null ? [] : Lane.Of(plan, stations);
            var figures = look.Figures(planned.Union(look.Kept()));
            findings.Good("log", LogText.Of(figures));
            Followers(findings, figures);
        }
        catch (Exception e) when (e is SqliteException or IOException or InvalidDataException)
        {
            findings.Judge(false, "log", e is SqliteException s ? LogFile.Explain(Path.Combine(state, LogFile.Name), s) : e.Message);
        }
    }

    private static void Followers(CheckList findings, LogFigures? figures)
    {
        foreach (var lag in figures?.Followers ?? [])
        {
            findings.Note($"follower {lag.Follower}", LogText.Of(lag));
        }
    }
}
