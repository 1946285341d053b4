using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using Lanes = System.Runtime.Intrinsics.Vector256<float>;

namespace Evenwater.Core.Estimation;

/// <summary>
/// Eight sampled futures of the vessel side by side: salt mixes, the flow drifts, walks and may jump once, what
/// cannot be held runs over; the warmth may go with it. They step along a grid until everything that is asked has happened on all of them.
/// </summary>
internal ref struct FuturePaths
{
    private static readonly Lanes Never = Vector256.Create(float.PositiveInfinity);
    private readonly DrawTable _draws;
    private readonly Lanes _tolerance;
    private readonly Lanes _keptWanted;
    private readonly bool _asksKept;
    private readonly Lanes _tank;
    private readonly Lanes _tankChange;
    private readonly Lanes _mark;
    private readonly Lanes _ceiling;
    private readonly Lanes _driftMean;
    private readonly Lanes _drift;
    private readonly Lanes _head;
    private readonly Lanes _clogs;
    private readonly Lanes _leakFraction;
    private readonly Lanes _jumpFactor;
    private readonly float _evaporation;
    private readonly int _first;
    private Lanes _volume;
    private Lanes _surplus;
    private Lanes _firstWater;
    private Lanes _flow;
    private Lanes _exponent;
    private Lanes _jumpAfter;
    private Lanes _apart;
    private Lanes _kept;

    /// <summary>The paths' warmth; not followed without both thermometers.</summary>
    public WarmthPaths Warmth;

    /// <summary>Seconds until even in conductivity, at the mark, and the first water is the share the keeper wants; infinite until then.</summary>
    public Lanes Match, Brim, Replaced;

    /// <summary>Seconds until even in conductivity and temperature at once; infinite until then.</summary>
    public Lanes Joint;

    /// <param name="prior">What is known of the vessel.</param>
    /// <param name="starts">Where the paths start.</param>
    /// <param name="draws">Their draws.</param>
    /// <param name="first">The first of the paths.</param>
    /// <param name="keptWanted">The share of first water that is wanted; null where nobody goes by it.</param>
    /// <param name="warmth">Their warmth.</param>
    public FuturePaths(Prior prior, PathStarts starts, DrawTable draws, int first, double? keptWanted, WarmthPaths warmth)
    {
        (_first, _asksKept, Warmth) = (first, keptWanted is not null, warmth);
        _draws = draws;
        _keptWanted = Vector256.Create((float)(keptWanted ?? 0));
        _tolerance = Vector256.Create((float)prior.ToleranceMicrosiemensPerCm);
        _volume = starts.Litres(first);
        _tank = starts.At(State.Tank, first);
        _tankChange = (float)Process.TankFuture * _tank * draws.At(DrawTable.TankChange, first);
        _surplus = (starts.At(State.Mixed, first) - _tank) * _volume;
        _kept = starts.Kept(first);
        _firstWater = _kept * _volume;
        var rim = (float)prior.BrimLitres * (Lanes.One + ((float)prior.BrimRelativeSd * draws.At(DrawTable.Brim, first)));
        _mark = rim - Vector256.Create((float)prior.FreeboardLitres);
        _ceiling = Ceiling(prior, _volume, rim, draws.At(DrawTable.Standpipe, first), starts.Overflowing(first));
        (_clogs, _leakFraction) = (starts.Clogs(first), starts.LeakFraction(first));
        _driftMean = Vector256.Create((float)Process.DriftMean) + ((float)(Process.ClogMean - Process.DriftMean) * _clogs);
        _drift = starts.At(State.Drift, first) - _driftMean;
        (_jumpAfter, _jumpFactor) = (draws.At(DrawTable.JumpSeconds, first), draws.At(DrawTable.JumpFactor, first));
        _evaporation = (float)(prior.EvaporationMillilitresPerHour / 3.6e6);
        _head = Vector256.ClampNative(starts.At(State.Head, first), Vector256.Create(-0.3f), Vector256.Create(0.9f)) / (float)prior.BrimLitres;
        _flow = starts.MillilitresPerMinute(first) / 60_000 / HeadLeft();
        _apart = Vector256.Abs(_surplus / _volume);
        Match = Vector256.ConditionalSelect(Vector256.LessThanOrEqual(_apart, _tolerance), Lanes.Zero, Never);
        Brim = Vector256.ConditionalSelect(Vector256.GreaterThanOrEqual(_volume, _mark), Lanes.Zero, Never);
        Replaced = Vector256.ConditionalSelect(Vector256.LessThanOrEqual(_kept, _keptWanted), Lanes.Zero, Never);
        Joint = Vector256.MaxNative(Match, warmth.Even); // each is 0 or infinite
    }

    /// <summary>Whether on some path something that is asked has not happened yet.</summary>
    public readonly bool GoesOn => Vector256.EqualsAny(Vector256.MaxNative(Match, Brim), Never) || (_asksKept && Vector256.EqualsAny(Replaced, Never))
        || (Warmth.Followed && Vector256.EqualsAny(Vector256.MaxNative(Joint, Warmth.Even), Never));

    public void Step(in GridStep step)
    {
        var flow = Jump(step.OpenSeconds);

        // The drift so far: its mean and its own deviation, which fades.
        var faded = Vector256.Create(step.Faded) + ((step.FadedClog - step.Faded) * _clogs);
        var next = (_driftMean * step.EndHours) + (_drift * faded) + ((float)Process.FlowWalk * _draws.WalkAt(step, _first));
        var passed = Vector256.Create(step.OpenSeconds) + ((step.Seconds - step.OpenSeconds) * _leakFraction);
        var added = flow * Vector256.Exp(Vector256.ClampNative(0.5f * (_exponent + next), Vector256.Create(-12f), Vector256.Create(6f))) * HeadLeft() * passed;
        _exponent = next;
        var full = _volume + added;
        Reach(step, full, Vector256.GreaterThanOrEqual(full, _mark) & Vector256.GreaterThanOrEqual(_ceiling, _mark) & Vector256.Equals(Brim, Never));
        var evaporated = step.Seconds * _evaporation;
        _surplus += evaporated * (_tank + (_surplus / _volume));
        var over = Vector256.GreaterThan(full, _ceiling);
        if (Any(over))
        {
            var washed = Vector256.Exp(Vector256.MinNative((_ceiling - full) / _ceiling, Lanes.Zero));
            _surplus *= washed;
            _firstWater *= washed;
            full = Vector256.MinNative(full, _ceiling);
        }

        var salt = Cross(ref _apart, Vector256.Abs((_surplus / full) - (step.RootHours * _tankChange)), _tolerance, over);
        Match = First(Match, step, salt.Within, salt.Share);
        if (_asksKept)
        {
            var share = Cross(ref _kept, _firstWater / full, _keptWanted, over);
            Replaced = First(Replaced, step, share.Within, share.Share);
        }

        if (Warmth.Followed)
        {
            Warmth.Step(step, _volume, added);
            Joint = First(Joint, step, salt.Within & Warmth.Within, Vector256.MaxNative(salt.Share, Warmth.Share));
        }

        _volume = Vector256.ConditionalSelect(over, full, Vector256.MaxNative(full - Vector256.Create(evaporated), 0.5f * full));
    }

    /// <summary>When it happened first: <paramref name="share"/> of the step after its start, where it does now and had not before.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes First(Lanes before, in GridStep step, Lanes now, Lanes share)
    {
        now &= Vector256.Equals(before, Never);
        return Vector256.ConditionalSelect(now, Vector256.Create(step.Start) + (step.Seconds * share), before);
    }

    /// <summary>Whether what was <paramref name="before"/> is within <paramref name="limit"/> at the end of a step, and where in the step it came there:
    /// 1/difference grows evenly while a vessel fills, its logarithm falls evenly while it overflows.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static (Lanes Within, Lanes Share) Cross(ref Lanes before, Lanes after, Lanes limit, Lanes overflows)
    {
        var was = before;
        before = after;
        var within = Vector256.LessThanOrEqual(after, limit);
        var crosses = within & Vector256.GreaterThan(was, limit);
        if (!Any(crosses))
        {
            return (within, Lanes.Zero);
        }

        after = Vector256.MaxNative(after, Vector256.Create(1e-9f));
        var share = ((was / limit) - Lanes.One) / ((was / after) - Lanes.One);
        if (Any(crosses & overflows))
        {
            share = Vector256.ConditionalSelect(overflows, Vector256.Log(was / limit) / Vector256.Log(was / after), share);
        }

        return (within, Vector256.ConditionalSelect(crosses, Vector256.ClampNative(share, Lanes.Zero, Lanes.One), Lanes.Zero));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static bool Any(Lanes mask) => mask.ExtractMostSignificantBits() != 0;

    /// <summary>The volume a path cannot exceed: its standpipe, else its rim.</summary>
    private static Lanes Ceiling(Prior prior, Lanes volume, Lanes rim, Lanes standpipe, Lanes overflowing)
    {
        var ceiling = prior is { Mode: VesselMode.Standpipe, StandpipeLitres: { } litres } ? (float)litres * (Lanes.One + ((float)prior.StandpipeRelativeSd * standpipe)) : rim;
        return Vector256.ConditionalSelect(Vector256.GreaterThan(overflowing, Lanes.Zero), volume, Vector256.MaxNative(volume, ceiling));
    }

    /// <summary>Share of the flow that the risen water leaves.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private readonly Lanes HeadLeft() => Vector256.MaxNative(Lanes.One - (_head * _volume), Vector256.Create(0.1f));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void Reach(in GridStep step, Lanes full, Lanes reached)
    {
        if (Any(reached))
        {
            Brim = First(Brim, step, reached, Vector256.ClampNative((_mark - _volume) / (full - _volume), Lanes.Zero, Lanes.One));
        }
    }

    /// <summary>
    /// The mean flow of a step in L/s before drift and head, with the jump that falls into it. A drip that stands still does not jump: its clock runs while it is open.
    /// </summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private Lanes Jump(float openSeconds)
    {
        var before = _flow;
        var left = _jumpAfter - Vector256.Create(openSeconds);
        var jumps = Vector256.LessThanOrEqual(left, Lanes.Zero);
        if (!Any(jumps))
        {
            _jumpAfter = left;
            return before;
        }

        var share = _jumpAfter / openSeconds;
        _flow = Vector256.ConditionalSelect(jumps, _flow * _jumpFactor, _flow);
        _jumpAfter = Vector256.ConditionalSelect(jumps, Never, left);
        return Vector256.ConditionalSelect(jumps, (share * before) + ((Lanes.One - share) * _flow), before);
    }
}
