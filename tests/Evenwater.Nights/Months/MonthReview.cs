using Evenwater.Core;
using Evenwater.Core.Keeping;
using Evenwater.Core.Review;
using Evenwater.Core.Standing;
using Evenwater.Nights.Plant;

namespace Evenwater.Nights.Months;

/// <summary>A month of ours as it would be looked back at, and what was found of what happened.</summary>
internal sealed class MonthReview
{
    private static readonly DateTimeOffset Start = new(2026, 3, 1, 0, 0, 0, TimeSpan.Zero);

    public MonthReview(TankMonth month)
    {
        Month = month;
        Courses = new[] { (Channel.TankConductivity, month.Conductivity), (Channel.TankTemperature, month.Temperature), (Channel.TankLight, month.Light) }
            .ToDictionary(one => one.Item1, one => Course.Of(one.Item1, Stretches(one.Item2), Start, Start.AddMinutes(TankMonth.Minutes), TimeZoneInfo.Utc));

        Happened = Known(month);
        Episodes = Episode.Of(Courses, Happened);
        Swings = [.. Episodes.SelectMany(episode => episode.Swings)];
    }

    public TankMonth Month { get; }

    public IReadOnlyDictionary<Channel, Course> Courses { get; }

    public IReadOnlyList<Swing> Swings { get; }

    public IReadOnlyList<Episode> Episodes { get; }

    public Happened Happened { get; }

    /// <summary>Whether it was found, in a channel that it moved, by two hours after its three sigmas and from no later data.</summary>
    public bool Found(Planted one) => Swings.Any(swing => 15 * swing.FoundAt <= one.ThreeSigmas + 120 && 15 * swing.FoundAt >= one.Minute && one.Moves(swing.Channel));

    /// <summary>
    /// The episode that tells of it: of those near enough in which a channel that it moved has swung, the one that begins nearest to the time from its beginning to its three sigmas.
    /// </summary>
    public Episode? Of(Planted one) => Episodes
        .Where(episode => 15 * episode.Until >= one.Minute - 30 && 15 * episode.At >= one.Minute - 720 && 15 * episode.At <= (one.ThreeSigmas ?? one.Minute) + 720)
        .Where(episode => episode.Swings.Any(swing => one.Moves(swing.Channel)))
        .MinBy(episode => Math.Max(0, Math.Max(one.Minute - (15 * episode.At), (15 * episode.At) - (one.ThreeSigmas ?? one.Minute))));

    /// <summary>Episodes that nothing made: neither during what happened and half a day after it, nor where that was undone.</summary>
    public int False => Episodes.Count(episode => !Month.Planted.Any(one => (15 * episode.Until) >= Begins(one) && (15 * episode.At) <= Ends(one)) && !Month.FilledUp.Any(at => OfFilling(episode, at)));

    /// <summary>The episode that tells of a filling up, if it is told.</summary>
    public Episode? OfFilling(int at) => Episodes.FirstOrDefault(episode => OfFilling(episode, at));

    private static bool OfFilling(Episode episode, int at) => 15 * episode.Until >= at - 120 && 15 * episode.At <= at + 120;

    public IReadOnlyList<Candidate> Causes(Episode episode) => Core.Review.Causes.Of(episode, Courses, Happened);

    /// <summary>The planted cause as an episode's arithmetic has it, also when that rules it out.</summary>
    public Candidate Weighed(Episode episode, Planted one) => Core.Review.Causes.All(episode, Courses, Happened).Single(candidate => candidate.Cause == CauseOf(one.Kind));

    public static Cause CauseOf(PlantedKind kind) => kind switch
    {
        PlantedKind.WaterChange => Cause.WaterChange,
        PlantedKind.TopOff => Cause.TopOff,
        PlantedKind.Evaporation => Cause.Evaporation,
        PlantedKind.Dose => Cause.Dose,
        PlantedKind.Overfeeding => Cause.Overfeeding,
        PlantedKind.Heater => Cause.HeaterSchedule,
        PlantedKind.Light => Cause.LightSchedule,
        PlantedKind.SaltCreep => Cause.SaltCreep,
        PlantedKind.Fouling => Cause.ProbeFouling,
        PlantedKind.OutOfWater => Cause.ProbeOutOfWater,
        PlantedKind.Calibration => Cause.CalibrationStep,
        PlantedKind.PowerCut => Cause.PowerCut,
        PlantedKind.Drip => Cause.SourceDrip,
        _ => Cause.NothingKnown,
    };

    // A top-off makes good what was lost over the week before it, which is there to be seen as well.
    private static int Begins(Planted one) => one.Kind == PlantedKind.TopOff ? one.Minute - 10_080 : one.Minute - 120;

    private static int Ends(Planted one) => one.Kind is PlantedKind.Overfeeding ? one.Minute + 5760 : one.Until + (one.Kind == PlantedKind.Light ? 2880 : 1440);

    private static IEnumerable<Stretch> Stretches(double[] minutes) =>
        minutes.Select((value, i) => new Stretch(Start.AddMinutes(i), TimeSpan.FromMinutes(1), value)).Where(stretch => !double.IsNaN(stretch.Mean));

    /// <summary>What the keeper and the log know: told things, meals each evening in half of the tanks, and notes that mean nothing.</summary>
    private static Happened Known(TankMonth month)
    {
        var chance = new Chance(month.Seed + 77_000_000);
        List<Note> notes = [];
        void Write(NoteKind kind, int minute, double? amount = null, double? litres = null) =>
            notes.Add(new Note { Id = $"n{notes.Count + 1}", Kind = kind, At = Start.AddMinutes(minute), Amount = amount, Unit = amount is null ? null : "portions", Litres = litres });
        if (chance.Happens(0.5)) for (var day = 0; day < 30; day++) Write(NoteKind.Feed, (1440 * day) + 1140 + chance.Whole(-40, 40), 1);
        for (var i = chance.Whole(1, 4); i > 0; i--) Write(chance.OneOf(NoteKind.Dose, NoteKind.Trim, NoteKind.FilterClean, NoteKind.Feed), chance.Whole(0, TankMonth.Minutes), 1);
        foreach (var at in month.FilledUp) Write(NoteKind.TopOff, at + chance.Whole(-10, 50), litres: Math.Round(month.EvaporatesPercentADay / 100 * month.Litres * (month.FilledUp.Count > 1 ? month.FilledUp[1] - month.FilledUp[0] : 7 * 1440) / 1440 * chance.Between(0.8, 1.2), 2));
        foreach (var one in month.Planted.Where(one => one.Told))
        {
            var at = one.Minute + chance.Whole(-10, 50);
            switch (one.Kind)
            {
                case PlantedKind.WaterChange: Write(NoteKind.WaterChange, at, litres: one.Amount * chance.Between(0.9, 1.1)); break;
                case PlantedKind.TopOff: Write(NoteKind.TopOff, at, litres: one.Amount * chance.Between(0.8, 1.2)); break;
                case PlantedKind.Dose: Write(NoteKind.Dose, at, 5); break;
                case PlantedKind.Overfeeding: Write(NoteKind.Feed, at, 3); break;
                case PlantedKind.Light: Write(NoteKind.LightChange, at, 1); break;
                case PlantedKind.Fouling: Write(NoteKind.ProbeClean, one.Until + chance.Whole(-5, 30)); break;
                default: break;
            }
        }

        return new Happened
        {
            TankLitres = month.Litres,
            Notes = notes,
            Runs = [.. month.Planted.Where(one => one.Kind == PlantedKind.Drip).Select(one => new DrippedOut(Start.AddMinutes(one.Minute), Start.AddMinutes(one.Until), one.Amount))],
            Calibrations = [.. month.Planted.Where(one => one.Kind == PlantedKind.Calibration).Select(one => new CalibrationStep(Channel.TankConductivity, Start.AddMinutes(one.Minute), one.Amount))],
            NewMicrosiemensPerCm = month.NewMicrosiemens * chance.Between(0.95, 1.05),
            NewCelsius = month.NewCelsius + chance.Between(-0.7, 0.7),
            RoomCelsius = month.RoomCelsius + chance.Between(-0.7, 0.7),
        };
    }
}
