using Evenwater.Running;

namespace Evenwater.Watch;

/// <summary>What the daemon's unit must say for the promises of systemd/install.md to hold, and what an edit broke.</summary>
internal static class UnitRules
{
    /// <summary>The longest watchdog time that keeps "dead within 3 s", s.</summary>
    public const double LongestWatchdogSeconds = 3;

    /// <summary>The share of the processor that the time from a wet float to the closed line was measured with; 100 is anybody's, 10000 the most there is.</summary>
    private const int CpuWeight = 10000;

    /// <summary>Every rule that the unit breaks, as "Key=value: what must be, and why".</summary>
    /// <param name="unit">The unit with its drop-ins.</param>
    /// <param name="credentials">The credentials that the configuration names.</param>
    /// <param name="board">Whether a station is on this computer's own pins.</param>
    /// <param name="exists">Whether a file is there.</param>
    public static IReadOnlyList<string> Broken(UnitText unit, IEnumerable<string> credentials, bool board, Func<string, bool> exists)
    {
        var broken = new List<string>();
        Ask("Type", unit["Type"] == "notify", "must be notify, or systemd takes a daemon for ready that has completed no cycle");
        Ask("WatchdogSec", unit.Seconds("WatchdogSec") is > 0 and <= LongestWatchdogSeconds, $"must be above 0, to {LongestWatchdogSeconds} s, or a hung daemon stays, or stays long");
        Ask("WatchdogSignal", unit["WatchdogSignal"] is "SIGKILL" or "KILL" or "9", "must be SIGKILL: a stopped process sees no other");
        Ask("Restart", unit["Restart"] == "always", "must be always, or nobody watches after the first trouble");
        Ask("OnFailure", unit.Words("OnFailure").Any(), "must name evenwater-gave-up@raise.service, or nobody is told when it stays down");
        Ask("ExecStart", unit["ExecStart"].Contains(" --config ", StringComparison.Ordinal), "must say --config, so that a lost file is an error");
        Ask("ExecStopPost", unit.All("ExecStopPost").Any(p => p.Contains("evenwater-close", StringComparison.Ordinal)), "must run evenwater-close, or a kernel that keeps levels keeps the line where it was");
        Ask("RuntimeDirectory", unit.Words("RuntimeDirectory").Any(), "must be evenwater, or evenwater-close does not learn the valve's line");
        Ask("StateDirectory", unit.Words("StateDirectory").Any(), "must be evenwater, or there is no folder for the log");
        Ask("CPUWeight", unit.Number("CPUWeight") is >= CpuWeight, $"must be {CpuWeight}, or a wet float waits behind whatever else is busy");
        Ask("Slice", unit["Slice"] == "-.slice", "must be -.slice, or its weight counts only among the services of one group");
        Ask("LimitNICE", unit["LimitNICE"] == "infinity" || unit.Number("LimitNICE") is <= Urgent.Niceness or >= 20 - Urgent.Niceness,
            $"must be {Urgent.Niceness} or lower, or guard and pulses can not go first");
        broken.AddRange(Credentials(unit, credentials, exists));
        if (board)
        {
            Ask("PrivateDevices", unit["PrivateDevices"] is "" or "no" or "false" or "0" or "off", "must be no: it hides the pins and the bus");
            var open = unit["DevicePolicy"] is "" or "auto" && unit.All("DeviceAllow").Count == 0;
            Ask("DeviceAllow", open || unit.Words("DeviceAllow").Any(w => w.Contains("gpiochip", StringComparison.Ordinal)), "must let char-gpiochip through, or no pin can be had");
            Ask("DeviceAllow", open || unit.Words("DeviceAllow").Any(w => w.Contains("i2c", StringComparison.Ordinal)), "must let char-i2c through, or no probe answers");
        }

        return broken;

        void Ask(string key, bool good, string must)
        {
            if (!good)
            {
                broken.Add($"{key}={(key.StartsWith("Exec", StringComparison.Ordinal) || key == "DeviceAllow" ? string.Join(' ', unit.All(key)) : unit[key])}: {must}");
            }
        }
    }

    /// <summary>What keeps the unit that tells the broker when the daemon stays down from doing so.</summary>
    /// <param name="unit">evenwater-gave-up@.service with its drop-ins; null where it is not installed.</param>
    /// <param name="credentials">The broker's, as the configuration names them.</param>
    /// <param name="exists">Whether a file is there.</param>
    public static IReadOnlyList<string> BrokenLast(UnitText? unit, IEnumerable<string> credentials, Func<string, bool> exists) => unit is null
        ? ["evenwater-gave-up@.service is not installed here: nobody would be told when the daemon stays down"]
        : [.. Credentials(unit, credentials, exists).Select(broken => $"evenwater-gave-up@.service: {broken}")];

    private static IEnumerable<string> Credentials(UnitText unit, IEnumerable<string> credentials, Func<string, bool> exists) =>
    [
        .. credentials.Where(c => !unit.All("LoadCredential").Any(l => l.StartsWith(c + ":", StringComparison.Ordinal)))
            .Select(name => $"LoadCredential={name}:FILE is missing, and the configuration names {name}"),
        .. unit.All("LoadCredential").Select(l => l.Split(':', 2)).Where(l => l is [_, ['/', ..]] && !exists(l[1]))
            .Select(load => $"LoadCredential={load[0]}:{load[1]}: the file is missing, and the service can not start (systemd says no more than 243/CREDENTIALS)"),
    ];
}
