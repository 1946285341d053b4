using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;
using Evenwater.Hardware;
using Evenwater.Hardware.Rig;
using Evenwater.Keeping;
using Evenwater.Log;
using Evenwater.Log.Summaries;

namespace Evenwater.Running;

/// <summary>
/// The three weeks before the demo's first night, so that there is something to look back at: minute by minute what the tank's probes would have told, as a log holds it when
/// space has taken the single readings. Iron was dosed and water was changed, and the book says so; then the heater was set lower, and nobody wrote it down.
/// </summary>
internal static class DemoPast
{
    /// <summary>How long it is, days.</summary>
    public const int Days = 21;

    private const int Minutes = Days * 1440;
    private const string By = "demo";
    private const double DosedPercent = 1.5; // 5 mL of a mineral solution
    private const double ChangedLitres = 60;
    private const double EvaporatesPercentADay = 0.25; // of the litres, and the salt stays
    private const double LowerCelsius = 0.8;
    private const double CoolingMinutes = 400; // to 63 % of the way, by the room
    private const double WarmingMinutes = 90; // the heater's way back after cold water
    private const double HeaterCelsius = 0.05;
    private const double HeaterMinutes = 40; // from one switching to the next, as in the nights

    /// <summary>When the iron was dosed.</summary>
    public static DateTimeOffset DosedAt(DateTimeOffset end) => end.AddDays(-12).AddHours(-2);

    /// <summary>When the water was changed.</summary>
    public static DateTimeOffset ChangedAt(DateTimeOffset end) => end.AddDays(-6).AddHours(-9);

    /// <summary>When the heater was set lower.</summary>
    public static DateTimeOffset LoweredAt(DateTimeOffset end) => end.AddDays(-3).AddHours(-5);

    /// <summary>Writes it into a new log.</summary>
    /// <param name="folder">The log's; no log is open there.</param>
    /// <param name="station">Whose tank; what its probes tell at the end is what those of the first night tell.</param>
    /// <param name="end">When the first night begins.</param>
    /// <param name="version">The program's.</param>
    public static void Write(string folder, Station station, DateTimeOffset end, string version)
    {
        WriteBook(folder, station, end, version);
        var (salt, warmth) = AsRead(station, new SimulatedRig(station, SimulatedNights.FirstSeed, []));
        using var connection = LogFile.OpenForWriting(folder, KeptLog.BusySeconds);
        using var transaction = connection.BeginTransaction();
        foreach (var (channel, values) in new[] { (Channel.TankConductivity, Salt(salt, station.Source, end)), (Channel.TankTemperature, Warmth(warmth, station.Source, end)) })
        {
            var minutes = values.Select((value, i) => Bucket.Of(end.AddMinutes(i - Minutes).ToUnixTimeMilliseconds(), value));
            foreach (var grain in Grains.All)
            {
                // A day at a time: all of it at once took some 25 MB.
                foreach (var part in Summed(minutes, Grains.LengthMs(grain)).Chunk(1440)) SummaryStore.Merge(connection, station.Name, channel, grain, part);
            }
        }

        transaction.Commit();
    }

    private static IEnumerable<Bucket> Summed(IEnumerable<Bucket> minutes, long lengthMs)
    {
        Bucket? sum = null;
        foreach (var minute in minutes)
        {
            var start = Grains.Floor(minute.StartMs, lengthMs);
            if (sum is { } full && full.StartMs != start) yield return full;
            sum = sum is { } begun && begun.StartMs == start ? begun.And(minute) : minute with { StartMs = start };
        }

        if (sum is { } last) yield return last;
    }

    /// <summary>What a rig's probes tell of its tank, over one turn of its heater: µS/cm at 25 °C and °C. Through the drivers, for what a thermometer errs is in the conductivity as well.</summary>
    internal static (double MicrosiemensPerCm, double Celsius) AsRead(Station station, SimulatedRig rig)
    {
        using var devices = StationDevices.OnRig(station.Sensors, rig);
        var (raw, salt, warmth, count) = (RawSamples.None(), 0.0, 0.0, 0);
        for (var now = MonotonicTime.FromSeconds(1); now.Seconds <= HeaterMinutes * 60; now = now.Plus(10))
        {
            rig.Advance(now);
            devices.ReadProbes(now, ref raw);
            var readings = Calibrate.Apply(raw, station.Sensors);
            if (readings[Channel.TankConductivity] is not { IsGood: true } c || readings[Channel.TankTemperature] is not { IsGood: true } t) continue;
            (salt, warmth, count) = (salt + c.Value, warmth + t.Value, count + 1);
        }

        return (salt / count, warmth / count);
    }

    private static void WriteBook(string folder, Station station, DateTimeOffset end, string version)
    {
        Note[] notes =
        [
            new() { Kind = NoteKind.Dose, At = DosedAt(end), Amount = 5, Unit = "mL", Text = "minerals" },
            new() { Kind = NoteKind.WaterChange, At = ChangedAt(end), Litres = ChangedLitres, Text = "gravel cleaned" },
        ];
        using var log = NightLog.Open(folder);
        var (boot, configuration) = (log.StartBoot(version, simulated: true), log.Configure(station));
        foreach (var (note, i) in notes.Select((note, i) => (note, i + 1)))
        {
            log.Append(new Entry
            {
                At = MonotonicTime.FromSeconds(1), BootId = boot, ConfigurationId = configuration, Station = station.Name, Kind = EntryKind.Note, Wall = note.At, ClockQuality = ClockQuality.Simulated,
                Body = LogJson.Write(new NoteBody(note with { Id = $"n{i}", WrittenAt = note.At, By = By })),
            });
        }

        log.CommitAsync().GetAwaiter().GetResult();
    }

    /// <summary>Conductivity at 25 °C, minute by minute, µS/cm: backwards from what it is at the end.</summary>
    private static double[] Salt(double now, Source source, DateTimeOffset end)
    {
        // A probe alone wanders by 0.12 %, and water by something too; with less the first night, whose water does not rise, would pass for a swing.
        var (values, wander) = (new double[Minutes], Wander(1, 0.18, 20));
        var (dosed, changed) = (Minute(DosedAt(end), end), Minute(ChangedAt(end), end));
        var kept = 1 - (ChangedLitres / source.VolumeLitres);
        for (var i = Minutes - 1; i >= 0; i--)
        {
            values[i] = now * (1 + (wander[i] / 100));
            now *= 1 - (EvaporatesPercentADay / 100 / 1440);
            if (i == changed) now = (now - ((1 - kept) * source.NewWaterMicrosiemensPerCm!.Value)) / kept;
            if (i == dosed) now /= 1 + (DosedPercent / 100);
        }

        return values;
    }

    /// <summary>Temperature, minute by minute, °C.</summary>
    private static double[] Warmth(double set, Source source, DateTimeOffset end)
    {
        var (values, wander) = (new double[Minutes], Wander(2, 0.01, 60));
        var (changed, lowered) = (Minute(ChangedAt(end), end), Minute(LoweredAt(end), end));
        var cold = ChangedLitres / source.VolumeLitres * (source.NewWaterCelsius!.Value - set - LowerCelsius);
        for (var i = 0; i < Minutes; i++)
        {
            var higher = LowerCelsius * (i < lowered ? 1 : Math.Exp((lowered - i) / CoolingMinutes));
            var colder = i < changed ? 0 : cold * Math.Exp((changed - i) / WarmingMinutes);
            values[i] = set + higher + colder + (HeaterCelsius * Math.Sin(2 * Math.PI * i / HeaterMinutes)) + wander[i];
        }

        return values;
    }

    private static int Minute(DateTimeOffset at, DateTimeOffset end) => Minutes + (int)(at - end).TotalMinutes;

    /// <summary>What wanders and comes back within so many minutes (first-order autoregression), and half as much of each minute alone; the same at each start.</summary>
    private static double[] Wander(int seed, double sd, double minutes)
    {
        var random = new Random(seed);
        double Normal() => Enumerable.Range(0, 12).Sum(_ => random.NextDouble()) - 6;
        var keep = Math.Exp(-1 / minutes);
        var wander = 0.0;
        return [.. Enumerable.Range(0, Minutes).Select(_ => (wander = (keep * wander) + (Math.Sqrt(1 - (keep * keep)) * sd * Normal())) + (0.5 * sd * Normal()))];
    }
}
