using Evenwater.Core;
using Evenwater.Core.Stations;
using Evenwater.Log;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Store;

/// <summary>
/// Six channels once a second with the noise that such probes have (common practice, no source): conductivity wanders over the day and jitters by some counts of the
/// converter, thermometers toggle between neighbouring sixteenths, a level ripples, drops come as they please (Poisson).
/// </summary>
internal sealed class LifelikeYear(int seed)
{
    public const int ChannelsFitted = 6;

    private readonly Random _random = new(seed);
    private double _wander;

    /// <summary>The channels that it gives.</summary>
    public static readonly Channel[] Given =
    [
        Channel.VesselConductivity, Channel.TankConductivity, Channel.VesselTemperature, Channel.TankTemperature, Channel.Level, Channel.Drops,
    ];

    public static readonly DateTimeOffset Begin = new(2026, 1, 1, 0, 0, 0, TimeSpan.Zero);

    public static Station Station { get; } = LogFolder.Station() with
    {
        Sensors = LogFolder.Station().Sensors with { FloatHighLine = null, Level = new() { AdcInput = 2, ZeroVolts = 0.1, MillimetresPerVolt = 300 }, DropCounterLine = 17 },
    };

    /// <summary>The raw readings of one second.</summary>
    public RawSamples At(long second)
    {
        var at = MonotonicTime.FromSeconds(second);
        var day = Math.Sin(2 * Math.PI * second / 86_400);
        _wander = (0.9999 * _wander) + (0.02 * Gauss());
        var samples = RawSamples.None();
        samples[Channel.VesselConductivity] = RawSample.Of((int)(11_000 + (60 * day) + (20 * _wander) + (3 * Gauss())), at);
        samples[Channel.TankConductivity] = RawSample.Of((int)(5_200 + (25 * day) - (10 * _wander) + (2 * Gauss())), at);
        samples[Channel.VesselTemperature] = RawSample.Of((int)Math.Round(352 + (9 * day) + (0.35 * Gauss())), at.Plus(-0.75));
        samples[Channel.TankTemperature] = RawSample.Of((int)Math.Round(368 + (5 * day) + (0.35 * Gauss())), at.Plus(-0.75));
        samples[Channel.Level] = RawSample.Of((int)(14_000 + (30 * _wander) + (4 * Gauss())), at);
        samples[Channel.Drops] = RawSample.Of(Poisson(5), at);
        return samples;
    }

    private double Gauss() => Math.Sqrt(-2 * Math.Log(1 - _random.NextDouble())) * Math.Cos(2 * Math.PI * _random.NextDouble());

    /// <summary>Knuth, The Art of Computer Programming 2, section 3.4.1, algorithm Q.</summary>
    private int Poisson(double mean)
    {
        var (count, product) = (0, _random.NextDouble());
        for (var limit = Math.Exp(-mean); product >= limit; count++)
        {
            product *= _random.NextDouble();
        }

        return count;
    }

    /// <summary>Appends so many seconds to a log and commits every <paramref name="batch"/> of them; tells after each commit.</summary>
    public void Write(NightLog log, long seconds, int batch, Action<long>? committed = null)
    {
        var boot = log.StartBoot("year", simulated: false);
        var configuration = log.Configure(Station);
        for (var second = 1L; second <= seconds; second++)
        {
            log.Append(new Entry
            {
                BootId = boot,
                ConfigurationId = configuration,
                Station = Station.Name,
                At = MonotonicTime.FromSeconds(second),
                Wall = Begin.AddSeconds(second),
                ClockQuality = ClockQuality.Synced,
                Kind = EntryKind.Cycle,
                Body = "{\"valveOpen\":false}",
                Samples = At(second),
            });
            if (second % batch == 0)
            {
                log.Flush();
                committed?.Invoke(second);
            }
        }

        log.Flush();
    }
}
