using Evenwater.Core.Scoring;

namespace Evenwater.Nights.Faults;

/// <summary>What the campaign must show.</summary>
internal static class CampaignChecks
{
    /// <summary>Most needless trips, as a share of normal nights.</summary>
    public const double MostNeedless = 0.01;

    /// <summary>Each claim, whether it held, and what was seen.</summary>
    public static IEnumerable<(string Claim, bool Held, string Seen)> Of(FaultCampaign campaign)
    {
        var all = campaign.All.ToList();
        var rehearsed = campaign.Rows.Count(row => row.Script is not null);
        yield return Nothing("with all layers no single fault puts water over the rim", campaign.Singles.Where(n => n.OverRim));
        yield return Nothing("with all layers no single fault puts water on the floor", campaign.Singles.Where(n => n.OnFloor));
        yield return Nothing("no run opens while the high float or the leak sensor is wet", all.Where(n => n.Seen.WetOpenings > 0));
        yield return Nothing("no reset is granted while one of them is wet", all.Where(n => n.Seen.WetResets > 0));
        yield return Nothing("no run goes on after a trip that nobody reset", all.Where(n => n.Seen.Resumed > 0));
        yield return ("an opening was asked for after trips", all.Sum(n => n.Seen.Asked) > 0, $"{all.Sum(n => n.Seen.Asked)} times in {all.Count(n => n.Seen.Asked > 0)} nights");
        yield return Nothing("every night with a fault had begun to drip", all.Where(n => n.Seen.Openings == 0 && n.Verdict.LitresMost <= n.Station.Vessel.StartVolumeLitres * 1.3));
        yield return ("every row is rehearsed in every setting or says why not", campaign.Singles.Select(n => n.Name).Distinct().Count() == rehearsed
            && campaign.OneAway.GroupBy(n => n.Setting.Name).All(g => g.Select(n => n.Name).Distinct().Count() == rehearsed), $"{rehearsed} of {campaign.Rows.Count} rows");
        var broken = BrokenPromises(campaign).ToList();
        yield return ("a row's second layer holds when its first is gone, and the first when the second is", broken.Count == 0, broken.Count == 0 ? $"{rehearsed} rows" : string.Join("; ", broken));
        foreach (var (name, nights) in new[] { ("the demo", campaign.River), ("the demo with room to spare", campaign.Roomy) })
        {
            var needless = nights.Count(n => n.Needless);
            yield return ($"needless trips of {name}: at most {MostNeedless:0 %} of normal nights, early closes by honest doubt apart",
                needless <= MostNeedless * nights.Count,
                $"{Share(needless, nights.Count)}; with the early closes {Share(needless + nights.Count(n => n.HonestDoubt), nights.Count)}");
        }
    }

    /// <summary>A share with its 95 % score interval.</summary>
    public static string Share(int hits, int of)
    {
        var (low, high) = Wilson.Interval(hits, of);
        return $"{hits} of {of}, {100.0 * hits / of:0.0} % ({100 * low:0.0} to {100 * high:0.0} %)";
    }

    /// <summary>Rows for which one of the two layers they name does not hold alone what the other lets pass.</summary>
    private static IEnumerable<string> BrokenPromises(FaultCampaign campaign)
    {
        var byRow = campaign.Singles.Concat(campaign.OneAway).ToLookup(n => (n.Name, n.Setting.Name));
        foreach (var row in campaign.Rows.Where(row => row.Script is not null))
        {
            foreach (var (gone, left) in new[] { (row.FirstLayer, row.SecondLayer), (row.SecondLayer, row.FirstLayer) })
            {
                var nights = byRow[(row.Name, gone == "catch" ? Setting.All.Name : Setting.Without(gone).Name)].ToList();
                var wet = nights.Count(n => gone == "catch" ? n.OnFloorWithoutCatch : left == "catch" ? n.OnFloor : n.OverRim);
                if (wet > 0)
                {
                    yield return $"{row.Name}: {left} without {gone}, {wet} of {nights.Count} nights";
                }
            }
        }
    }

    private static (string Claim, bool Held, string Seen) Nothing(string claim, IEnumerable<FaultNight> nights)
    {
        var found = nights.ToList();
        return (claim, found.Count == 0, found.Count == 0 ? "0" : $"{found.Count}, such as {found[0]}");
    }
}
