using System.Globalization;
using Evenwater.Core.Review;

namespace Evenwater.Nights.Months;

/// <summary>What looking back at many months came to.</summary>
internal sealed class SwingFigures(bool keepRows = false, double evaporatesPercentADay = 0, int filledUpEveryDays = 0)
{
    private readonly Lock _lock = new();
    private readonly SortedDictionary<PlantedKind, int[]> _kinds = [];
    private readonly int[] _all = new int[5];
    private readonly int[] _placed = new int[4];
    private readonly int[] _filled = new int[3];

    /// <summary>What was found, row by row, when that is wanted.</summary>
    public List<string> Rows { get; } = [];

    public int Months { get; private set; }

    public int False { get; private set; }

    public int FalseOfNoise { get; private set; }

    /// <summary>Over three sigmas; found by two hours after that.</summary>
    public double FoundShare => Share(_kinds.Values.Sum(kind => kind[1]), _kinds.Values.Sum(kind => kind[0]));

    /// <summary>The same of what comes within hours.</summary>
    public double FoundSuddenShare => Share(_kinds.Where(kind => !Slow(kind.Key)).Sum(kind => kind.Value[1]), _kinds.Where(kind => !Slow(kind.Key)).Sum(kind => kind.Value[0]));

    public double FirstShare => Share(_all[1], _all[0]);

    public double FirstThreeShare => Share(_all[2], _all[0]);

    public double UnknownShare => Share(_all[4], _all[3]);

    /// <summary>Of the habitual fillings up in months of noise alone: how many were told.</summary>
    public int FilledUpTold => _filled[1];

    /// <summary>And of how many of these the top-off stood first.</summary>
    public int FilledUpFirst => _filled[2];

    public double FalseAMonth => Share(False, Months);

    public double FalseOfNoiseAMonth => Share(FalseOfNoise, Months);

    /// <summary>One month with what was planted, and another of noise alone.</summary>
    public void Add(int seed)
    {
        var review = new MonthReview(new TankMonth(seed, evaporatesPercentADay: evaporatesPercentADay, filledUpEveryDays: filledUpEveryDays));
        var quiet = new MonthReview(new TankMonth(seed, quiet: true, evaporatesPercentADay, filledUpEveryDays));
        var noise = quiet.False; // nothing is planted in it
        var fillings = quiet.Month.FilledUp.Select(at => quiet.OfFilling(at) is { } told ? quiet.Causes(told)[0].Cause : (Cause?)null).ToList();
        lock (_lock)
        {
            Months++;
            if (keepRows) Rows.AddRange(SwingRows.Of(seed, review, quiet));
            False += review.False;
            FalseOfNoise += noise;
            _filled[0] += fillings.Count;
            _filled[1] += fillings.Count(cause => cause is not null);
            _filled[2] += fillings.Count(cause => cause == Cause.TopOff);
            foreach (var one in review.Month.Planted.Where(one => one.ThreeSigmas is not null)) Count(review, one);
        }
    }

    public IEnumerable<string> Lines()
    {
        foreach (var (kind, n) in _kinds) yield return Text($"{kind,-13} {n[0],5} over 3 sigmas, found within 2 h {Percent(n[1], n[0])}, cause first {Percent(n[2], n[0])}, in the first three {Percent(n[3], n[0])}");
        yield return Text($"found within 2 h of 3 sigmas {100 * FoundShare:0.0} % (wanted 95), of what comes within hours {100 * FoundSuddenShare:0.0} %");
        yield return Text($"beginning told within 2 h of the planted one: of what comes within hours {Percent(_placed[1], _placed[0])}, of what creeps {Percent(_placed[3], _placed[2])} (not wanted of it: a slope has no sharp beginning)");
        yield return Text($"false: {FalseAMonth:0.00} a month (at most 1), of noise alone {FalseOfNoiseAMonth:0.00}");
        if (_filled[0] > 0) yield return Text($"filled up as a habit, in months of noise alone: {_filled[0]}, told {Percent(_filled[1], _filled[0])}, of these top-off first {Percent(_filled[2], _filled[1])}");
        yield return Text($"known cause first {100 * FirstShare:0.0} % (wanted 85), in the first three {100 * FirstThreeShare:0.0} % (wanted 97), of {_all[0]}");
        yield return Text($"'nothing known' of unknown ones {100 * UnknownShare:0.0} % (wanted 80), of {_all[3]}");
    }

    private static bool Slow(PlantedKind kind) => kind is PlantedKind.Evaporation or PlantedKind.Overfeeding or PlantedKind.SaltCreep or PlantedKind.Fouling;

    private static double Share(int part, int whole) => whole == 0 ? 0 : (double)part / whole;

    private static string Percent(int part, int whole) => Text($"{100 * Share(part, whole),5:0.0} %");

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);

    private void Count(MonthReview review, Planted one)
    {
        var episode = review.Of(one);
        var causes = episode is null ? [] : review.Causes(episode);
        _placed[Slow(one.Kind) ? 2 : 0]++;
        if (episode is not null && Math.Abs((15 * episode.At) - one.Minute) <= 120) _placed[Slow(one.Kind) ? 3 : 1]++;
        var place = causes.Select(candidate => candidate.Cause).ToList().IndexOf(MonthReview.CauseOf(one.Kind));
        if (!_kinds.TryGetValue(one.Kind, out var kind)) _kinds[one.Kind] = kind = new int[4];
        kind[0]++;
        if (review.Found(one)) kind[1]++;
        if (place == 0) kind[2]++;
        if (place is >= 0 and < 3) kind[3]++;
        if (one.Known)
        {
            _all[0]++;
            if (place == 0) _all[1]++;
            if (place is >= 0 and < 3) _all[2]++;
        }
        else
        {
            _all[3]++;
            if (place == 0) _all[4]++;
        }
    }
}
