using Evenwater.Core.Stations;

namespace Evenwater.Nights.Faults;

/// <summary>How much is rehearsed.</summary>
/// <param name="Nights">Single faults with all layers, over all rows together; 1 or more for each row at least.</param>
/// <param name="Seeds">Nights of each row with each layer away, and of each pair.</param>
/// <param name="Normal">Nights in which nothing is wrong, of each of the two stations.</param>
/// <param name="Parallel">How many at the same time.</param>
internal sealed record CampaignSize(int Nights = 2000, int Seeds = 2, int Normal = 500, int Parallel = 2);

/// <summary>All nights of the campaign.</summary>
internal sealed class FaultCampaign
{
    private readonly CampaignSize _size;
    private readonly Action<string> _progress;
    private ulong _seed;

    public FaultCampaign(CampaignSize size, Action<string> progress)
    {
        (_size, _progress, Size) = (size, progress, size);
        Rows = FaultRow.ReadAll();
        var rehearsed = Rows.Where(row => row.Script is not null).ToList();
        var each = (size.Nights + rehearsed.Count - 1) / rehearsed.Count;
        Singles = Run("single faults, all layers", Wanted(rehearsed.Select(row => (row.Name, row.Script)), Setting.All, each));
        OneAway = [.. Setting.OneAway.Append(Setting.SoftwareAlone).SelectMany(setting =>
            Run($"single faults, {setting.Name}", Wanted(rehearsed.Select(row => (row.Name, row.Script)), setting, size.Seeds)))];
        Pairs = Run("pairs, all layers", Wanted(TripPath.Pairs.Select(pair => (pair.Name, (FaultScript?)pair.Script)), Setting.All, size.Seeds));
        River = RunNormal("the demo as it is, nothing wrong", NormalNight.River);
        Roomy = RunNormal("the demo with room to spare, nothing wrong", NormalNight.Roomy);
    }

    public CampaignSize Size { get; }

    public IReadOnlyList<FaultRow> Rows { get; }

    public IReadOnlyList<FaultNight> Singles { get; }

    /// <summary>With one layer away after another, and with the software alone.</summary>
    public IReadOnlyList<FaultNight> OneAway { get; }

    public IReadOnlyList<FaultNight> Pairs { get; }

    public IReadOnlyList<NormalNight> River { get; }

    public IReadOnlyList<NormalNight> Roomy { get; }

    /// <summary>All nights with a fault.</summary>
    public IEnumerable<FaultNight> All => Singles.Concat(OneAway).Concat(Pairs);

    /// <summary>Every night has a seed of its own.</summary>
    private List<(string Name, FaultScript? Script, Setting Setting, ulong Seed, int Turn)> Wanted(
        IEnumerable<(string Name, FaultScript? Script)> rows, Setting setting, int each) =>
        [.. rows.SelectMany(row => Enumerable.Range(0, each).Select(turn => (row.Name, row.Script, setting, ++_seed, turn)))];

    private FaultNight[] Run(string what, List<(string Name, FaultScript? Script, Setting Setting, ulong Seed, int Turn)> wanted)
    {
        var done = new FaultNight[wanted.Count];
        _progress($"{what}: {wanted.Count} nights, seeds {wanted[0].Seed} to {wanted[^1].Seed}");
        Parallel.For(0, wanted.Count, new ParallelOptions { MaxDegreeOfParallelism = _size.Parallel }, i =>
            done[i] = FaultNight.Run(wanted[i].Name, wanted[i].Script, wanted[i].Setting, wanted[i].Seed, wanted[i].Turn));
        return done;
    }

    private NormalNight[] RunNormal(string what, Station station)
    {
        var done = new NormalNight[_size.Normal];
        _progress($"{what}: {_size.Normal} nights, seeds 1 to {_size.Normal}");
        Parallel.For(0, done.Length, new ParallelOptions { MaxDegreeOfParallelism = _size.Parallel }, i => done[i] = NormalNight.Run(station, (ulong)i + 1));
        return done;
    }
}
