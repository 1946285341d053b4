using System.Globalization;

namespace Evenwater.Nights.Faults;

/// <summary>`faults`: the whole campaign, told on the terminal and written to a file. tests/faults calls it.</summary>
internal static class FaultsCommand
{
    public static int Run(string[] args, TextWriter output, TextWriter error)
    {
        var size = new CampaignSize();
        string? file = null;
        var (commit, command) = ("unknown", "faults");
        for (var i = 0; i < args.Length; i += 2)
        {
            var value = i + 1 < args.Length ? args[i + 1] : "";
            var number = int.TryParse(value, NumberStyles.None, CultureInfo.InvariantCulture, out var n) && n is >= 1 and <= 100_000 ? n : 0;
            switch (args[i], number)
            {
                case ("--out", _): file = value; break;
                case ("--commit", _): commit = value; break;
                case ("--command", _): command = value; break;
                case ("--pairs", _) when value == "everywhere": size = size with { PairsEverywhere = true }; break;
                case ("--nights", > 0): size = size with { Nights = number }; break;
                case ("--seeds", > 0): size = size with { Seeds = number }; break;
                case ("--normal", > 0): size = size with { Normal = number }; break;
                case ("--parallel", > 0): size = size with { Parallel = number }; break;
                default:
                    error.WriteLine($"{args[i]} {value}: allowed are --nights, --seeds, --normal and --parallel with a whole number from 1 to 100000, and --pairs everywhere.");
                    return 2;
            }
        }

        var started = TimeProvider.System.GetTimestamp();
        var campaign = new FaultCampaign(size, what => output.WriteLine($"{TimeProvider.System.GetElapsedTime(started).TotalSeconds,6:0} s  {what}"));
        var report = FaultReport.Of(campaign, command, commit, DateOnly.FromDateTime(TimeProvider.System.GetLocalNow().DateTime));
        output.WriteLine($"{TimeProvider.System.GetElapsedTime(started).TotalSeconds,6:0} s  done");
        output.WriteLine();
        output.WriteLine(report);
        if (file is not null)
        {
            File.WriteAllText(file, report);
        }

        var checks = CampaignChecks.Of(campaign).ToList();
        output.WriteLine($"{checks.Count(c => c.Held)} passed, {checks.Count(c => !c.Held)} failed");
        return checks.TrueForAll(c => c.Held) ? 0 : 1;
    }
}
