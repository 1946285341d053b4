namespace Evenwater.Core.Review;

/// <summary>The numbers of an episode that causes are told by.</summary>
internal sealed class Signs
{
    private const int Hour = 4;

    public Signs(Episode episode, IReadOnlyDictionary<Channel, Course> courses)
    {
        (Episode, Courses) = (episode, courses);
        Told = episode.Swings.Min(swing => swing.FoundAt);
        Conductivity = courses.TryGetValue(Channel.TankConductivity, out var salt) && salt.KnowsItself ? new(salt, episode) : null;
        Temperature = courses.TryGetValue(Channel.TankTemperature, out var heat) && heat.KnowsItself ? new(heat, episode) : null;
        Lowest = salt is null ? null : Enumerable.Range(episode.At, Math.Max(2 * Hour, Told - episode.At)).Where(i => i < salt.Count).Min(i => salt.Seen[i]) / Conductivity?.Seen;
        MissingPoints = Missing([.. courses.Values], episode.At, Told, point => MovedBefore(courses[episode.Strongest.Channel], episode.At, point));
        LightMoved = courses.TryGetValue(Channel.TankLight, out var light) && light.KnowsItsDay ? Unusual(light, episode) : null;
        // Twice the salt scatters twice as wide.
        Unrest = episode.Swings.Where(swing => swing.Restless).Select(swing => Math.Exp(swing.Size - (swing.Channel == Channel.TankConductivity ? Math.Max(0, Settled ?? 0) / 100 : 0))).DefaultIfEmpty(1).Max();
    }

    public Episode Episode { get; }

    public IReadOnlyDictionary<Channel, Course> Courses { get; }

    public Moves? Conductivity { get; }

    public Moves? Temperature { get; }

    /// <summary>When it began; of what came at once the middle of that.</summary>
    public DateTimeOffset When => Courses.Values.First().At(Conductivity is { AtOnce: true, Fastest: var (_, middle) } ? middle : Episode.At);

    /// <summary>What conductivity does day after day by itself, in words that go on behind a rate; empty when that is next to nothing.</summary>
    public string BesideUsual => Courses.TryGetValue(Channel.TankConductivity, out var salt) && Math.Abs(salt.UsualPerDay) >= 0.05
        ? $" beside its usual {(salt.UsualPerDay > 0 ? "rise" : "fall")} of {Causes.Say(Math.Abs(salt.UsualPerDay))} %" : "";

    /// <summary>The point before which it was told: it began before that as well.</summary>
    public int Told { get; }

    /// <summary>The lowest conductivity of the first two hours, or until it was told, as a share of what was.</summary>
    public double? Lowest { get; }

    /// <summary>Points without a reading of any probe just before the beginning, or from there until it was told; none where it was under way before they began.</summary>
    public int MissingPoints { get; }

    /// <summary>Quarters of an hour within a day at which the light was not as usual; null without a sensor, or while its usual day is not known.</summary>
    public int? LightMoved { get; }

    /// <summary>How many times as restless the readings became, 1 when they did not; of conductivity beside what it rose by.</summary>
    public double Unrest { get; }

    /// <summary>1-sigma of conductivity from hour to hour, %.</summary>
    public double ConductivitySd => Conductivity?.Sd ?? 1;

    /// <summary>1-sigma of temperature from hour to hour, °C.</summary>
    public double TemperatureSd => Temperature?.Sd ?? 1;

    /// <summary>% of conductivity after two to five hours; sooner when something else followed.</summary>
    public double? Settled => Conductivity?.After(2, 5) ?? Conductivity?.After(1, 2) ?? Conductivity?.Quick;

    /// <summary>°C: the farthest of three hours.</summary>
    public double? Peak => Temperature?.Farthest(3);

    /// <summary>Whether conductivity came slowly, or not at all.</summary>
    public bool Slow => Conductivity is not { AtOnce: true };

    public bool ConductivityMoved => Conductivity is { } salt && (salt.Moved || (!salt.Busy && Math.Max(Math.Abs(salt.Quick ?? 0), Math.Abs(Settled ?? 0)) > 4 * salt.Sd));

    public bool TemperatureMoved => Temperature is { } heat && (heat.Moved || (!heat.Busy && Math.Abs(Peak ?? 0) > 4 * heat.Sd));

    private static int Unusual(Course light, Episode episode)
    {
        var at = episode.At;
        return light.Median(at - Course.PerDay, at) is { } usual && episode.Swings.Any(swing => swing.Channel == Channel.TankLight && swing.At <= at + (2 * Hour))
            ? Enumerable.Range(at - Hour, Course.PerDay).Count(i => i >= 0 && i < light.Count && Math.Abs((light.Values[i] ?? usual) - usual) > 1000) : 0;
    }

    private static int Missing(Course[] courses, int at, int told, Func<int, bool> underWay)
    {
        var (most, run, later) = (0, 0, false);
        for (var i = Math.Max(0, at - 40); i < Math.Min(courses[0].Count, Math.Max(at + 8, told)); i++)
        {
            run = Array.TrueForAll(courses, course => course.Seen[i] is null) ? run + 1 : 0;
            if (run == 2) later = underWay(i - 1);
            most = run >= 2 && i >= at - 8 && !later ? Math.Max(most, run) : most;
        }

        return most;
    }

    /// <summary>Whether it had moved by more than it does by itself in the last hour before a point: what came then did not begin it.</summary>
    private static bool MovedBefore(Course course, int at, int point) =>
        point >= at + Hour && course.Median(point - Hour, point) - course.Median(at - (3 * Hour), at) is { } moved && Math.Abs(moved) > 4 * course.Sd(Hour);
}
