using System.Text;
using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;
using Evenwater.Running;

namespace Evenwater.Nights.Campaign;

/// <summary>All nights of all kinds, and the table that tells of them.</summary>
internal sealed class Tally
{
    private readonly Dictionary<string, List<Outcome>> _byKind = [];

    public Tally(int nights, IReadOnlyList<Kind> kinds)
    {
        var all = kinds.SelectMany(kind => Enumerable.Range(1, nights * kind.Share).Select(seed => (Kind: kind, Seed: (ulong)seed))).ToArray();
        var done = new Outcome[all.Length];
        Parallel.For(0, all.Length, i => done[i] = Outcome.Of(all[i].Kind, all[i].Seed));
        foreach (var outcome in done)
        {
            (_byKind.TryGetValue(outcome.Kind.Name, out var list) ? list : _byKind[outcome.Kind.Name] = []).Add(outcome);
        }
    }

    public IEnumerable<Outcome> All => _byKind.Values.SelectMany(o => o);

    public IReadOnlyList<Outcome> this[string kind] => _byKind[kind];

    public override string ToString()
    {
        var text = new StringBuilder("kind                    n plan even past spill   L most  noticed after (median, worst, not)  trips; alarms\n");
        foreach (var (kind, nights) in _byKind)
        {
            text.Append($"{kind,-20} {nights.Count,4} {nights.Count(n => n.Verdict.ClosedByPlan),4} {nights.Count(n => n.Verdict.TrulyEvenAtClose),4} ");
            text.Append($"{nights.Count(n => n.PastMark),4} {nights.Count(n => n.Verdict.SpilledLitres > 0),5} {nights.Max(n => n.Verdict.LitresMost),8:0.00}  {Noticed(nights),-36}");
            text.Append(Counted(nights.Where(n => n.Verdict.Trip != Trip.None).Select(n => Words.Of(n.Verdict.Trip)))).Append("; ");
            text.AppendLine(Counted(nights.SelectMany(n => n.Verdict.Alarms.Select(a => AlarmTable.Of(a.Alarm).Name).Distinct())));
        }

        return text.ToString();
    }

    private static string Noticed(IReadOnlyList<Outcome> nights)
    {
        if (nights[0].Kind.Faults.Length == 0)
        {
            return "-";
        }

        var seen = nights.Select(n => n.NoticedAfter).OfType<double>().Order().ToArray();
        var not = nights.Count - seen.Length;
        return seen.Length == 0 ? $"never, {not}" : $"{Time(seen[seen.Length / 2])}, {Time(seen[^1])}, {not}";
    }

    private static string Time(double seconds) => seconds < 120 ? $"{seconds:0.0} s" : $"{seconds / 60:0} min";

    private static string Counted(IEnumerable<string> names) =>
        string.Join(", ", names.GroupBy(n => n).OrderByDescending(g => g.Count()).Select(g => $"{g.Key} {g.Count()}"));
}
