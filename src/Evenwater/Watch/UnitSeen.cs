using System.Globalization;

namespace Evenwater.Watch;

/// <summary>
/// What the service itself sees of its unit at each start, without asking anybody: what systemd.exec(5), "Environment variables in spawned processes", says that
/// it is given. A unit that was edited so that nobody would notice a hung daemon, or close behind a dead one, lets no run be left alone.
/// </summary>
internal static class UnitSeen
{
    private static readonly IReadOnlyList<string> s_here = Problems(Environment.GetEnvironmentVariable, Environment.ProcessId);

    /// <summary>What is wrong with the unit that started this program; empty without one.</summary>
    public static IReadOnlyList<string> Here => s_here;

    /// <summary>What is wrong, each as a sentence with its key.</summary>
    /// <param name="variable">A variable of the environment, or null.</param>
    /// <param name="process">This process; systemd names the one that it started, so that a terminal of a service is not taken for one.</param>
    public static IReadOnlyList<string> Problems(Func<string, string?> variable, int process)
    {
        if (variable("SYSTEMD_EXEC_PID") != process.ToString(CultureInfo.InvariantCulture))
        {
            return [];
        }

        var watchdog = ulong.TryParse(variable("WATCHDOG_USEC"), CultureInfo.InvariantCulture, out var microseconds) ? microseconds / 1e6 : 0;
        List<string> problems = [];
        if (variable("NOTIFY_SOCKET") is null or "")
        {
            problems.Add("The service's unit is not Type=notify: nobody would notice that the daemon hangs.");
        }
        else if (watchdog is not (> 0 and <= UnitRules.LongestWatchdogSeconds))
        {
            problems.Add(string.Create(CultureInfo.InvariantCulture, $"The service's unit has WatchdogSec={watchdog:0.###} s, allowed is above 0, to {UnitRules.LongestWatchdogSeconds} s: a hung daemon would stay."));
        }

        if (variable("RUNTIME_DIRECTORY") is null or "")
        {
            problems.Add("The service's unit has no RuntimeDirectory=: evenwater-close would not know the valve's line.");
        }

        return problems;
    }
}
