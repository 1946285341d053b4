namespace Evenwater.Core.Review;

/// <summary>The numbers of an episode that causes are told by: before, an hour after, half a day after, the rates.</summary>
internal sealed class Signs
{
    private const int Hour = 4;

    public Signs(Episode episode, IReadOnlyDictionary<Channel, Course> courses)
    {
        (Episode, Courses) = (episode, courses);
        var at = episode.At;
        var conductivity = courses.GetValueOrDefault(Channel.TankConductivity);
        var temperature = courses.GetValueOrDefault(Channel.TankTemperature);
        if (conductivity is not null)
        {
            var first = episode.Swings.Where(swing => swing.Channel == Channel.TankConductivity).Select(swing => (Swing?)swing).FirstOrDefault();
            ConductivitySd = conductivity.Sds[2];
            ConductivityAt = first?.At ?? at;
            Quick = conductivity.Step(ConductivityAt + 1, Hour, 3 * Hour);
            Settled = conductivity.Step(ConductivityAt + (2 * Hour), 3 * Hour, 3 * Hour) is null ? null : Level(conductivity, ConductivityAt, 2 * Hour, 5 * Hour);
            HalfDay = Level(conductivity, ConductivityAt, 10 * Hour, 16 * Hour);
            Day = Level(conductivity, ConductivityAt, 20 * Hour, 26 * Hour);
            TwoDays = Level(conductivity, ConductivityAt, 44 * Hour, 50 * Hour);
            RateBefore = 2 * (conductivity.Median(ConductivityAt - (6 * Hour), ConductivityAt) - conductivity.Median(ConductivityAt - (18 * Hour), ConductivityAt - (12 * Hour)));
            Seen = Last(conductivity, ConductivityAt);
            Lowest = Enumerable.Range(at, 2 * Hour).Where(i => i < conductivity.Count).Min(i => conductivity.Seen[i]) / Seen;
            Slow = first is not { } one || Math.Abs(Quick ?? 0) < 0.4 * Math.Abs(Settled ?? 0) || (one.Span >= 8 && Math.Abs(Quick ?? 0) < 3 * ConductivitySd)
                || episode.Swings.Any(swing => swing.Channel == Channel.TankConductivity && swing.At > one.At + (3 * Hour) && Math.Sign(swing.Size) == Math.Sign(one.Size));
        }

        if (temperature is not null)
        {
            var first = episode.Swings.Where(swing => swing.Channel == Channel.TankTemperature).Select(swing => (Swing?)swing).FirstOrDefault();
            TemperatureSd = temperature.Sds[2];
            TemperatureAt = first?.At ?? at;
            Peak = Enumerable.Range(Math.Min(at, TemperatureAt), 3 * Hour).Select(i => Level(temperature, Math.Min(at, TemperatureAt), i - Math.Min(at, TemperatureAt), i - Math.Min(at, TemperatureAt) + 2)).MaxBy(d => Math.Abs(d ?? 0));
            PeakLater = Level(temperature, TemperatureAt, 10 * Hour, 14 * Hour);
            PeakDay = Level(temperature, TemperatureAt, 22 * Hour, 28 * Hour);
            Celsius = Last(temperature, at);
        }

        MissingPoints = Missing(conductivity ?? temperature, at);
        LightMoved = courses.GetValueOrDefault(Channel.TankLight) is { } light && light.Median(at - Course.PerDay, at) is { } usual && episode.Swings.Any(swing => swing.Channel == Channel.TankLight && swing.At <= at + (2 * Hour))
            ? Enumerable.Range(at - Hour, Course.PerDay + (2 * Hour)).Count(i => i >= 0 && i < light.Count && Math.Abs((light.Values[i] ?? usual) - usual) > 1000) : courses.ContainsKey(Channel.TankLight) ? 0 : null;
    }

    public Episode Episode { get; }

    public IReadOnlyDictionary<Channel, Course> Courses { get; }

    public int ConductivityAt { get; }

    public int TemperatureAt { get; }

    public double ConductivitySd { get; } = 1;

    public double TemperatureSd { get; } = 1;

    /// <summary>% of conductivity within the first hour, after 2 to 5 h, half a day, a day, two days.</summary>
    public double? Quick { get; }

    public double? Settled { get; }

    public double? HalfDay { get; }

    public double? Day { get; }

    public double? TwoDays { get; }

    /// <summary>% a day.</summary>
    public double? RateBefore { get; }

    /// <summary>µS/cm before.</summary>
    public double? Seen { get; }

    /// <summary>The lowest of the first two hours, as a share of what was.</summary>
    public double? Lowest { get; }

    public bool Slow { get; }

    /// <summary>°C: the farthest of three hours, half a day and a day later.</summary>
    public double? Peak { get; }

    public double? PeakLater { get; }

    public double? PeakDay { get; }

    public double? Celsius { get; }

    /// <summary>Points without any reading just before or at the beginning.</summary>
    public int MissingPoints { get; }

    /// <summary>Quarters of an hour within a day at which the light was not as usual; null without a sensor.</summary>
    public int? LightMoved { get; }

    public bool ConductivityMoved => Math.Max(Math.Abs(Quick ?? 0), Math.Abs(Settled ?? 0)) > 4 * ConductivitySd || Episode.Swings.Any(swing => swing.Channel == Channel.TankConductivity);

    public bool TemperatureMoved => Math.Abs(Peak ?? 0) > 4 * TemperatureSd || Episode.Swings.Any(swing => swing.Channel == Channel.TankTemperature);

    private static double? Level(Course course, int at, int from, int to)
    {
        var end = at;
        while (end > 16 && at - end < Course.PerDay && course.Values[Math.Min(end, course.Count) - 1] is null) end--;
        return course.Median(at + from, at + to) - course.Median(end - 12, end);
    }

    private static double? Last(Course course, int at)
    {
        for (var i = Math.Min(at, course.Count) - 1; i >= 0; i--)
        {
            if (course.Seen[i] is { } seen) return seen;
        }

        return null;
    }

    private static int Missing(Course? course, int at)
    {
        var (most, run) = (0, 0);
        for (var i = Math.Max(0, at - 40); course is not null && i < Math.Min(course.Count, at + 8); i++)
        {
            run = course.Values[i] is null ? run + 1 : 0;
            most = run >= 2 && i >= at - 8 ? Math.Max(most, run) : most;
        }

        return most;
    }
}
