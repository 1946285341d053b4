using Evenwater.Core;
using Evenwater.Core.Stations;
using Evenwater.Log;

namespace Evenwater.Tests.Log;

/// <summary>A folder for one test's log, and entries to put into it.</summary>
internal sealed class LogFolder : IDisposable
{
    public static readonly DateTimeOffset Evening = new(2026, 3, 14, 20, 0, 0, TimeSpan.Zero);

    private readonly DirectoryInfo _directory = Directory.CreateTempSubdirectory("evenwater-log-");

    public string Path => _directory.FullName;

    public string File => System.IO.Path.Combine(Path, LogFile.Name);

    /// <summary>A quick pace, so that no test waits long.</summary>
    public static LogPace Quick { get; } = new()
    {
        Batch = TimeSpan.FromMilliseconds(200),
        Retry = TimeSpan.FromMilliseconds(50),
        BusySeconds = 1,
    };

    public NightLog Open(LogPace? pace = null) => NightLog.Open(Path, pace: pace ?? Quick);

    public static Station Station(string name = "sim-river") => new()
    {
        Name = name,
        Vessel = new() { StartVolumeLitres = 1.6, StartVolumeSdLitres = 0.032, BrimLitres = 11.6, BrimSdLitres = 0.12, FreeboardLitres = 1.2 },
        Drip = new() { FlowMillilitresPerMinute = 15 },
        Match = new() { ToleranceMicrosiemensPerCm = 40 },
        Source = new() { VolumeLitres = 240, MaxDrawLitres = 14, SurfaceAreaSquareMetres = 0.48, IntakeDepthMillimetres = 16 },
        Waters = new() { BagMicrosiemensPerCm = 410, BagTemperatureCelsius = 19.5, TankMicrosiemensPerCm = 185, TankTemperatureCelsius = 23 },
        Sensors = new()
        {
            Source = SensorSource.Simulated,
            VesselConductivity = new() { AdcInput = 0, CellConstantPerCm = 1 },
            TankConductivity = new() { AdcInput = 1, CellConstantPerCm = 1 },
            VesselThermometer = "28-000000000001",
            TankThermometer = "28-000000000002",
            FloatHighLine = 27,
            ValveLine = 23,
        },
        Safety = new() { MaxOpenMinutes = 780, MaxInflowLitres = 10 },
    };

    public void Dispose() => _directory.Delete(recursive: true);
}

/// <summary>Makes entries of one station, a second apart.</summary>
internal sealed class Night(NightLog log, string station = "sim-river")
{
    private readonly long _boot = log.StartBoot("test", simulated: true);
    private readonly long _configuration = log.Configure(LogFolder.Station(station));
    private int _second;

    public long? RunId { get; set; }

    public bool HasWall { get; set; } = true;

    public long Cycle() => log.Append(Make(EntryKind.Cycle, null) with { Samples = Raw(_second, new MonotonicTime(_second * 1_000_000_000L)) });

    public long Add<T>(EntryKind kind, T body) => log.Append(Make(kind, LogJson.Write(body)));

    public Entry Make(EntryKind kind, string? body)
    {
        _second++;
        return new Entry
        {
            BootId = _boot,
            ConfigurationId = _configuration,
            Station = station,
            RunId = RunId,
            At = new MonotonicTime(_second * 1_000_000_000L),
            Wall = HasWall ? LogFolder.Evening.AddSeconds(_second) : null,
            ClockQuality = HasWall ? ClockQuality.Simulated : ClockQuality.Unsynced,
            Kind = kind,
            Body = body,
        };
    }

    /// <summary>So many cycles, committed.</summary>
    public static async Task WriteAsync(NightLog log, int cycles)
    {
        var night = new Night(log);
        for (var i = 0; i < cycles; i++)
        {
            night.Cycle();
            if (i % 2000 == 1999)
            {
                await log.CommitAsync();
            }
        }

        await log.CommitAsync();
    }

    /// <summary>Two conductivity probes, two thermometers, a dry float; every 7th second the tank's thermometer does not answer.</summary>
    public static RawSamples Raw(int second, MonotonicTime at)
    {
        var raw = RawSamples.None();
        raw[Channel.VesselConductivity] = RawSample.Of(9000 - second % 4000, at.Plus(-0.25));
        raw[Channel.VesselTemperature] = RawSample.Of(312 + second % 40, at.Plus(-0.5));
        raw[Channel.TankConductivity] = RawSample.Of(5000 + second % 9, at.Plus(-0.25));
        raw[Channel.TankTemperature] = second % 7 == 0
            ? RawSample.Missing(Reason.NoAnswer, at.Plus(-0.75))
            : RawSample.Of(368, at.Plus(-0.75));
        raw[Channel.FloatHigh] = RawSample.Of(0, at);
        return raw;
    }
}
