namespace Evenwater.Core.Screening;

/// <summary>
/// Lets a reading through, or gives the reason not to: range, age, flat line, rate. The four gross tests of
/// QARTOD-style quality control; slow fouling passes all of them and is the estimator's business.
/// </summary>
public static class Screen
{
    /// <summary>A probe's sample older than this may not be acted on, s.</summary>
    public const double ProbeStaleSeconds = 15;

    /// <summary>A switch's sample older than this may not be acted on, s.</summary>
    public const double SwitchStaleSeconds = 3;

    /// <summary>A conductivity that has not moved by one count for this long is stuck, s.</summary>
    public const double StuckSeconds = 120;

    /// <summary>One whose noise is seen to be below its step is given this long, s: in water at rest it repeats its counts, and a good front end would be called stuck in a still tank.</summary>
    public const double QuietSeconds = 1200;

    /// <summary>That is seen when its counts go back and forth by less than this, as a rule: with a noise of one step it is more.</summary>
    private const double QuietMove = 1.5;

    /// <summary>More than this tells no more of a move, counts, and what is usual is learned from so many of them.</summary>
    private const double LargestMove = 3;
    private const double UsualMoves = 8;

    /// <summary>And at least this many samples.</summary>
    public const int StuckSamples = 20;

    /// <summary>A jump is believed once it has lasted this long, s.</summary>
    public const double JumpSeconds = 30;

    // Common practice, no source: no water changes by a fifth, or by 1.5 °C, between two samples of a drip.
    private const double JumpFraction = 0.20;
    private const double JumpCelsius = 1.5;

    // Below 0.5 µS/cm no probe in water reads: it is dry or its wire is open. Above 100 mS/cm no keeper's water goes.
    private const double LeastMicrosiemensPerCm = 0.5;
    private const double MostMicrosiemensPerCm = 100_000;
    private const double LeastCelsius = -2;
    private const double MostCelsius = 45;

    // Common practice, no source: a zero that has moved by more than this is no zero, and no vessel is heavier or higher.
    private const double LeastKilograms = -1;
    private const double MostKilograms = 2000;
    private const double LeastMillimetres = -100;
    private const double MostMillimetres = 3000;

    // Direct sun at noon is 100,000 to 130,000 lx (from memory).
    private const double MostLux = 200_000;

    /// <summary>Whether water can be so warm, as far as is believed here.</summary>
    internal static bool IsWaters(double celsius) => celsius is >= LeastCelsius and <= MostCelsius;

    /// <summary>The readings that may be acted on; the others carry their reason.</summary>
    public static Readings Apply(ref ScreenState state, in Readings readings, MonotonicTime now)
    {
        var screened = Readings.None();
        for (var i = 0; i < Channels.Count; i++)
        {
            var reading = readings[i];
            if (reading.Reason == Reason.NotFitted)
            {
                continue;
            }

            var channel = (Channel)i;
            var reason = Judge(ref state[i], channel, reading, now);
            Listen(ref state[i], reason, now);
            screened[i] = reason == Reason.None ? reading : reading.Because(reason);
        }

        return screened;
    }

    private static Reason Judge(ref ChannelMemory memory, Channel channel, in Reading reading, MonotonicTime now)
    {
        if (!reading.TryGet(out var value))
        {
            return reading.Reason;
        }

        var isSwitch = Channels.IsSwitch(channel);
        if (now.SecondsSince(reading.TakenAt) > (isSwitch ? SwitchStaleSeconds : ProbeStaleSeconds))
        {
            return Reason.Stale;
        }

        if (isSwitch)
        {
            return value is 0 or 1 ? Reason.None : Reason.OutOfRange;
        }

        return channel switch
        {
            Channel.VesselConductivity or Channel.TankConductivity =>
                OutOfRange(value, LeastMicrosiemensPerCm, MostMicrosiemensPerCm)
                ?? Stuck(ref memory, reading.Code ?? value, reading.TakenAt, inSteps: reading.Code is not null)
                ?? TooFast(ref memory, value, Math.Max(memory.Accepted, LeastMicrosiemensPerCm) * JumpFraction, reading.TakenAt)
                ?? Reason.None,
            Channel.VesselTemperature or Channel.TankTemperature =>
                OutOfRange(value, LeastCelsius, MostCelsius)
                ?? TooFast(ref memory, value, JumpCelsius, reading.TakenAt)
                ?? Reason.None,
            // A bridge amplifier of 24 bits never repeats itself while it lives; a level's 16 bits may, in still water.
            Channel.Mass =>
                OutOfRange(value, LeastKilograms, MostKilograms)
                ?? (reading.Code is { } counts ? Stuck(ref memory, counts, reading.TakenAt, inSteps: true) : null)
                ?? Reason.None,
            Channel.Level => OutOfRange(value, LeastMillimetres, MostMillimetres) ?? Reason.None,
            Channel.TankLight => OutOfRange(value, 0, MostLux) ?? Reason.None,
            _ => value >= 0 ? Reason.None : Reason.OutOfRange,
        };
    }

    private static Reason? OutOfRange(double value, double least, double most) =>
        value >= least && value <= most ? null : Reason.OutOfRange;

    // The device's own count is watched where there is one: the value at 25 °C moves with the thermometer even when the probe is dead.
    private static Reason? Stuck(ref ChannelMemory memory, double value, MonotonicTime takenAt, bool inSteps)
    {
        if (value != memory.Seen || memory.SameCount == 0)
        {
            LearnMove(ref memory, value);
            memory.Seen = value;
            memory.SameSince = takenAt;
            memory.SameCount = 1;
        }
        else if (takenAt > memory.TakenAt)
        {
            memory.SameCount++;
        }

        memory.TakenAt = takenAt;
        var patience = inSteps && memory.UsualMove is > 0 and < QuietMove ? QuietSeconds : StuckSeconds;
        return memory.SameCount >= StuckSamples && takenAt.SecondsSince(memory.SameSince) >= patience ? Reason.Stuck : null;
    }

    /// <summary>A move back tells of noise, one onwards may be the water's. One step after many that were the same tells at once that there is next to none.</summary>
    private static void LearnMove(ref ChannelMemory memory, double value)
    {
        var (move, way) = (Math.Min(Math.Abs(value - memory.Seen), LargestMove), Math.Sign(value - memory.Seen));
        if (memory.SameCount >= StuckSamples && move < LargestMove)
        {
            memory.UsualMove = 1;
        }
        else if (way == -memory.Way)
        {
            memory.UsualMove += memory.UsualMove == 0 ? move : (move - memory.UsualMove) / UsualMoves;
        }

        memory.Way = way;
    }

    private static void Listen(ref ChannelMemory memory, Reason reason, MonotonicTime now)
    {
        var silent = reason is not (Reason.None or Reason.TooFast);
        memory.SilentSince = silent && !memory.Silent ? now : memory.SilentSince;
        memory.Silent = silent;
    }

    private static Reason? TooFast(ref ChannelMemory memory, double value, double limit, MonotonicTime takenAt)
    {
        if (memory.HasAccepted && Math.Abs(value - memory.Accepted) > limit)
        {
            if (!memory.Agreed)
            {
                (memory.Accepted, memory.AcceptedAt) = (value, takenAt); // the first of all may have been the spike: the next one decides
                return Reason.TooFast;
            }

            // What was not read for so long has not lasted: a second spike after a silence is as doubtful as the first.
            if (!memory.Away || (memory.Silent && takenAt.SecondsSince(memory.SilentSince) > ProbeStaleSeconds))
            {
                memory.Away = true;
                memory.AwaySince = takenAt;
                return Reason.TooFast;
            }

            if (takenAt.SecondsSince(memory.AwaySince) < JumpSeconds)
            {
                return Reason.TooFast;
            }
        }

        memory.Away = false;
        memory.Agreed |= memory.HasAccepted && takenAt > memory.AcceptedAt;
        memory.HasAccepted = true;
        (memory.Accepted, memory.AcceptedAt) = (value, takenAt);
        return null;
    }
}
