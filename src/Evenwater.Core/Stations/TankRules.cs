namespace Evenwater.Core.Stations;

/// <summary>Ranges of the watched tank's limits and of the routine.</summary>
internal static class TankRules
{
    private const int MostTasks = 40;
    private const int LongestAbout = 60;

    public static void Check(Station station, Findings findings)
    {
        var tank = station.Tank;
        Pair(findings, "tank.minMicrosiemensPerCm", tank.MinMicrosiemensPerCm, "tank.maxMicrosiemensPerCm", tank.MaxMicrosiemensPerCm, 0, 100_000, "µS/cm");
        Pair(findings, "tank.minCelsius", tank.MinCelsius, "tank.maxCelsius", tank.MaxCelsius, -2, 45, "°C");
        findings.Require(station.Routine.Count <= MostTasks, "routine", station.Routine.Count, $"at most {MostTasks} tasks", "Leave out what needs no reminding.");
        for (var i = 0; i < station.Routine.Count; i++)
        {
            var (key, task) = ($"routine[{i}]", station.Routine[i]);
            findings.Within($"{key}.dueEveryDays", task.DueEveryDays, 0.25, 400, "days", "7 is weekly.");
            findings.Require(task.About is not { } about || (about.Trim().Length is > 0 and <= LongestAbout && !about.Any(char.IsControl)), $"{key}.about", task.About,
                $"1 to {LongestAbout} plain characters", "Give a word that the notes of this task have in their text, or leave it out.");
        }
    }

    private static void Pair(Findings findings, string leastKey, double? least, string mostKey, double? most, double from, double to, string unit)
    {
        findings.WithinIfGiven(leastKey, least, from, to, unit, "Leave it out for no limit.");
        findings.WithinIfGiven(mostKey, most, from, to, unit, "Leave it out for no limit.");
        findings.Require(!(least >= most), mostKey, most, $"more than {leastKey}, {Findings.Text(least)} {unit}", "Exchange them, or leave one out.");
    }
}
