using System.Globalization;
using System.Text;
using Evenwater.Running;

namespace Evenwater.Nights.Faults;

/// <summary>The campaign in words and tables: hardware/FAULTS.md, and the same on the terminal.</summary>
internal static class FaultReport
{
    public static string Of(FaultCampaign campaign, string command, string commit, DateOnly date)
    {
        var text = new StringBuilder();
        text.AppendLine("# Rehearsed faults").AppendLine();
        text.AppendLine(CultureInfo.InvariantCulture, $"Made by `{command}` on {date:yyyy-MM-dd}, of commit {commit}. Simulated, never built, and not a safety device.").AppendLine();
        Meaning(text);
        Checks(text, campaign);
        Floods(text, campaign);
        Pairs(text, campaign);
        Normal(text, "The demo as it is", campaign.River);
        Normal(text, "The demo with room to spare", campaign.Roomy);
        Rows(text, campaign);
        return text.ToString();
    }

    private static void Meaning(StringBuilder text) => text.AppendLine(
        """
        A night is the whole program on the simulated rig: its drivers, its cycle, its valve. Whether it floods is judged by the plant's own water. So that something must stop it, the waters
        of the faulty nights would be even only in more water than the vessel holds, no time budget ends the drip, a run may go on after a restart, and somebody asks to open again every ten minutes
        after a trip. What goes wrong stands in the column "rehearsed as" of [fmea.csv](fmea.csv), with the hours between which it may begin (from the first minute to the eighth hour where none are told).
        A night ends after 16 h, or when no water has run for half an hour and every fault has begun, or when the catch runs over.

        | layer | with it | away |
        |---|---|---|
        | intake | as deep as the station file says | 60 mm: 28.8 L of the demo's tank, where its pail takes 10 |
        | valve | closes without current | once opened it stays wide open |
        | float | in the coil's supply, as high as the program's, set by the same hand | a wire |
        | driver | lets go 2 s after the last pulse | a line that is high holds the coil |
        | program | closes | once opened, pulses without end, whatever it decides |
        | catch | holds what the station file says, 14 L at the demo | holds nothing |

        "Software alone" is program and valve, with none of the others. A row is taken at its worst: a driver that lets go late never lets go, and a leaking valve may leak a fifth or all of the flow.
        Without the catch, less than 0.05 L are no flood: the leak sensor must be wetted before it can tell.
        Layers that are simulated here share one picture of water, made by those who made the program: that a real float, valve or intake behaves so was never built.

        """);

    private static void Checks(StringBuilder text, FaultCampaign campaign)
    {
        text.AppendLine("## What must hold").AppendLine().AppendLine("| claim | held | seen |").AppendLine("|---|---|---|");
        foreach (var (claim, held, seen) in CampaignChecks.Of(campaign))
        {
            text.AppendLine($"| {claim} | {(held ? "yes" : "**no**")} | {seen} |");
        }

        text.AppendLine();
    }

    private static void Floods(StringBuilder text, FaultCampaign campaign)
    {
        text.AppendLine("## Single faults").AppendLine();
        Head(text, "rows");
        foreach (var group in campaign.Singles.Concat(campaign.OneAway).GroupBy(n => n.Setting.Name))
        {
            Line(text, group.Key, [.. group], n => n.OnFloor);
            if (group.Key == Setting.All.Name)
            {
                Line(text, "without the catch", [.. group], n => n.OnFloorWithoutCatch);
            }
        }

        text.AppendLine();
    }

    private static void Head(StringBuilder text, string what) => text
        .AppendLine($"| layers | nights | seeds | over the rim | of these held by the catch | on the floor | most over the rim, L | {what} that go over the rim (nights of it) |")
        .AppendLine("|---|---|---|---|---|---|---|---|");

    private static void Line(StringBuilder text, string setting, List<FaultNight> nights, Func<FaultNight, bool> onFloor) => text.AppendLine(
        $"| {setting} | {nights.Count} | {nights.Min(n => n.Seed)} to {nights.Max(n => n.Seed)} | {nights.Count(n => n.OverRim)} | {nights.Count(n => n.OverRim && !onFloor(n))} | {nights.Count(onFloor)} | {nights.Max(n => n.RimLitres):0.0} | {Listed(nights, onFloor)} |");

    private static string Listed(IEnumerable<FaultNight> nights, Func<FaultNight, bool> onFloor) => string.Join("; ", nights.GroupBy(n => n.Name)
        .Select(g => (g.Key, Wet: g.Count(n => n.OverRim), Floor: g.Count(onFloor), Of: g.Count())).Where(g => g.Wet + g.Floor > 0)
        .Select(g => g.Wet > 0 ? $"{g.Key} ({g.Wet} of {g.Of})" : $"{g.Key} (beside it: {g.Floor} of {g.Of})"));

    private static void Pairs(StringBuilder text, FaultCampaign campaign)
    {
        text.AppendLine("## Pairs of faults on the way of a trip").AppendLine();
        text.AppendLine($"{campaign.Pairs.Select(n => n.Name).Distinct().Count()} pairs, each of two of the {TripPath.Count} faults that the trip's own path may have. What then goes over the rim is told, not forbidden.").AppendLine();
        Head(text, "pairs");
        foreach (var group in campaign.Pairs.GroupBy(n => n.Setting.Name))
        {
            Line(text, group.Key, [.. group], n => n.OnFloor);
        }

        text.AppendLine();
    }

    private static void Normal(StringBuilder text, string name, IReadOnlyList<NormalNight> nights)
    {
        var trips = nights.Where(n => n.Trip != Core.Safety.Trip.None).ToList();
        text.AppendLine($"## {name}: {nights.Count} nights in which nothing is wrong, seeds {nights[0].Seed} to {nights[^1].Seed}").AppendLine();
        text.AppendLine($"Ended by plan: {CampaignChecks.Share(nights.Count(n => n.Verdict.ClosedByPlan), nights.Count)}. Trips: {CampaignChecks.Share(trips.Count, nights.Count)}. A trip is needless when the water, in truth, would not have come to");
        text.AppendLine("brim less freeboard within the trip's horizon, at the flow of that moment. One on a forecast whose 5 to 95 % of the volume did hold the truth is counted apart, as an early close by honest doubt.").AppendLine();
        text.AppendLine("| cause | due | early, by honest doubt | needless |").AppendLine("|---|---|---|---|");
        foreach (var cause in trips.GroupBy(n => n.Trip))
        {
            text.AppendLine($"| {Words.Of(cause.Key)} | {cause.Count(n => n.NearMark)} | {cause.Count(n => n.HonestDoubt)} | {cause.Count(n => n.Needless)} |");
        }

        text.AppendLine($"| all | {CampaignChecks.Share(trips.Count(n => n.NearMark), nights.Count)} | {CampaignChecks.Share(trips.Count(n => n.HonestDoubt), nights.Count)} | {CampaignChecks.Share(trips.Count(n => n.Needless), nights.Count)} |").AppendLine();
        foreach (var needless in trips.Where(n => n.Needless))
        {
            text.AppendLine($"- {needless}");
        }

        if (trips.FindAll(n => n.HonestDoubt) is { Count: > 0 } early)
        {
            text.AppendLine($"- At the early closes the vessel held {early.Min(n => n.Litres):0.0} to {early.Max(n => n.Litres):0.0} L, known to {early.Average(n => (n.Believed.P95 - n.Believed.P05) / 2):0.00} L either way (5 to 95 %); {early.Count(n => n.Verdict.TrulyEvenAtClose)} of {early.Count} were truly even by then.");
            text.AppendLine($"- Seeds of the early closes: {string.Join(", ", early.Select(n => n.Seed))}.");
        }

        text.AppendLine();
    }

    private static void Rows(StringBuilder text, FaultCampaign campaign)
    {
        text.AppendLine("## Rows that are not rehearsed, and why").AppendLine().AppendLine("| row | claim of the table | why not |").AppendLine("|---|---|---|");
        foreach (var row in campaign.Rows.Where(row => row.WhyNot is not null))
        {
            text.AppendLine($"| {row.Name} | {row.Claim} | {row.WhyNot} |");
        }

        text.AppendLine().AppendLine("What the rows claim, and how many of them are rehearsed here:").AppendLine();
        foreach (var claim in campaign.Rows.GroupBy(row => row.Claim))
        {
            text.AppendLine($"- {claim.Key}: {claim.Count()} rows, {claim.Count(row => row.Script is not null)} of them rehearsed");
        }

        text.AppendLine().AppendLine("Nothing of it was built. \"Never built\" means that the row's effect itself is reasoned only, even where the night that would follow is rehearsed.");
        text.AppendLine().AppendLine("## Rows that are rehearsed, all layers").AppendLine();
        text.AppendLine("| row | rehearsed as | claim of the table | nights | most in the vessel, L | trips |").AppendLine("|---|---|---|---|---|---|");
        var nights = campaign.Singles.ToLookup(n => n.Name);
        foreach (var row in campaign.Rows.Where(row => row.Script is not null))
        {
            var trips = string.Join(", ", nights[row.Name].GroupBy(n => n.Verdict.Trip).OrderByDescending(g => g.Count()).Select(g => $"{FaultNight.TripWord(g.Key)} {g.Count()}"));
            text.AppendLine($"| {row.Name} | {row.RehearsedAs} | {row.Claim} | {nights[row.Name].Count()} | {nights[row.Name].Max(n => n.Verdict.LitresMost):0.00} | {trips} |");
        }
    }
}
