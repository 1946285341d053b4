using Evenwater.Core.Stations;

namespace Evenwater.Nights.Faults;

/// <summary>How much is rehearsed.</summary>
/// <param name="Nights">Single faults with all layers, over all rows together; 1 or more for each row at least.</param>
/// <param name="Seeds">Nights of each row with each layer away, and of each pair.</param>
/// <param name="Normal">Nights in which nothing is wrong, of each of the two stations.</param>
/// <param name="Parallel">How many at the same time.</param>
/// <param name="PairsEverywhere">Whether pairs are rehearsed with each layer away and with the software alone, too.</param>
internal sealed record CampaignSize(int Nights = 2000, int Seeds = 2, int Normal = 500, int Parallel = 2, bool PairsEverywhere = false);

/// <summary>All nights of the campaign.</summary>
internal sealed class FaultCampaign
{
    private const int TellEvery = 250;

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
        Pairs = [.. Setting.OneAway.Append(Setting.SoftwareAlone).Where(_ => size.PairsEverywhere).Prepend(Setting.All).SelectMany(setting =>
            Run($"pairs, {setting.Name}", Wanted(TripPath.Pairs.Select(pair => (pair.Name, (FaultScript?)pair.Script)), setting, size.Seeds)))];
        River = RunNormal("the demo as it is, nothing wrong", NormalNight.River);
        Roomy = RunNormal("the demo with room to spare, nothing wrong", NormalNight.Roomy);
    }

    public CampaignSize Size { get; }

    public IReadOnlyList<FaultRow> Rows { get; }

    public IReadOnlyList<FaultNight> Singles { get; }

    /// <summary>With one layer away after another, and with the software alone.</summary>
    public IReadOnlyList<FaultNight> OneAway { get; }

    /// <summary>With all layers; with one away and the software alone as well, where that is asked for.</summary>
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
        var count = 0;
        _progress($"{what}: {wanted.Count} nights, seeds {wanted[0].Seed} to {wanted[^1].Seed}");
        Parallel.For(0, wanted.Count, new ParallelOptions { MaxDegreeOfParallelism = _size.Parallel }, i =>
        {
            done[i] = FaultNight.Run(wanted[i].Name, wanted[i].Script, wanted[i].Setting, wanted[i].Seed, wanted[i].Turn);
            if (Interlocked.Increment(ref count) is var so && so % TellEvery == 0)
            {
                _progress($"  {so} of them");
            }
        });
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
