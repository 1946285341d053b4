using System.Text.Json;
using Evenwater.Core;
using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Page;

namespace Evenwater.Running;

/// <summary>One station as it is scraped.</summary>
/// <param name="Name">The station.</param>
/// <param name="Simulated">Whether a simulated rig stands behind it.</param>
/// <param name="SilentSeconds">How long it has said nothing, s.</param>
/// <param name="Phase">Where its run stands.</param>
/// <param name="Readings">The screened readings.</param>
/// <param name="LastForecast">The forecast; null when the estimator does not run.</param>
/// <param name="LastHeldOpen">Whether the valve was held open at the last turn.</param>
internal sealed record ScrapedStation(string Name, bool Simulated, double SilentSeconds, Phase Phase, Readings Readings, Forecast? LastForecast, bool LastHeldOpen)
{
    public string Labels => MetricsText.Label("station", Name);

    /// <summary>What was read, or why there is nothing that may be used: of a station that has fallen silent the last reading is none.</summary>
    public Reading Of(Channel channel) => IsSilent && Readings[channel] is { Reason: not Reason.NotFitted } last ? Reading.Missing(Reason.Stale, last.TakenAt) : Readings[channel];

    /// <summary>The forecast that may be gone by.</summary>
    public Forecast? Forecast => IsSilent ? null : LastForecast;

    /// <summary>Whether the valve is held open; null when nobody can tell.</summary>
    public bool? HoldsOpen => IsSilent ? null : LastHeldOpen;

    private bool IsSilent => SilentSeconds > Posted.SilenceSeconds;

    // The generated comparison would compare inline arrays, which throws.
    public bool Equals(ScrapedStation? other) => ReferenceEquals(this, other);

    public override int GetHashCode() => 0;
}

/// <summary>What /metrics tells: base units, the unit in the name.</summary>
internal static class Metrics
{
    private static readonly Channel[] Probes =
        [Channel.VesselConductivity, Channel.VesselTemperature, Channel.TankConductivity, Channel.TankTemperature, Channel.Mass, Channel.Level, Channel.TankLight];

    // Drops are counted since the cycle before: whoever looks now and then would miss most. The forecast's inflow tells of them.
    private static readonly Channel[] Switches = [Channel.FloatLow, Channel.FloatHigh, Channel.Leak];
    private static readonly string[] Phases = [.. Enum.GetNames<Phase>().Select(Kebab)];
    private static readonly string[] Reasons = [.. Enum.GetValues<Reason>().Where(r => r is not Reason.NotFitted).Select(r => Kebab(r.ToString()))];

    public static string Text(IReadOnlyList<ScrapedStation> stations, LogFigures? log, string version, long residentBytes)
    {
        var text = new MetricsText();
        text.Info("evenwater_build", "The program.", [MetricsText.Label("version", version)]);
        text.Gauge("process_resident_memory", "bytes", "Resident memory of the process.", [("", residentBytes)]);
        text.Info("evenwater_station", "The stations.", stations.Select(s => $"{s.Labels},{MetricsText.Label("simulated", s.Simulated ? "true" : "false")}"));
        text.Gauge("evenwater_station_silence", "seconds", "Time since the station's last turn.", stations.Select(s => (s.Labels, (double?)s.SilentSeconds)));
        text.StateSet("evenwater_phase", "Where the run stands.", Phases, stations.Select(s => (s.Labels, Kebab(s.Phase.ToString()))));
        text.Gauge("evenwater_valve_open", null, "Whether the valve is commanded open; absent of a station that has fallen silent.", stations.Select(s => (s.Labels, s.HoldsOpen is { } open ? open ? 1 : 0 : (double?)null)));
        foreach (var channel in Probes)
        {
            var si = SiChannel.Of(channel);
            text.Gauge($"evenwater_{si.Name}", Unit(channel), "The latest reading; absent when there is none that may be used.", stations.Select(s => (s.Labels, Value(s, channel))));
        }

        foreach (var channel in Switches)
        {
            text.Gauge($"evenwater_{SiChannel.Of(channel).Name}_wet", null, "1 is wet; absent when that is not known.", stations.Select(s => (s.Labels, Value(s, channel))));
        }

        text.StateSet("evenwater_reading_reason", "Why there is no reading that may be used; none when there is one.", Reasons, stations.SelectMany(s => Probes.Concat(Switches)
            .Where(c => s.Of(c).Reason != Reason.NotFitted)
            .Select(c => ($"{s.Labels},{MetricsText.Label("channel", SiChannel.Of(c).Name)}", Kebab(s.Of(c).Reason.ToString())))));
        Forecasts(text, stations);
        if (log is not null)
        {
            Log(text, log);
        }

        return text.ToString();
    }

    private static void Forecasts(MetricsText text, IReadOnlyList<ScrapedStation> stations)
    {
        // 1 L = 1e-3 m3; 1 mL/min = 1e-6 m3 / 60 s.
        Each("volume", "cubic_meters", "Median of the water in the vessel.", f => f.VolumeLitres.P50 / 1e3);
        Each("inflow", "cubic_meters_per_second", "Median of the inflow while the valve is open.", f => f.FlowMillilitresPerMinute.P50 / 6e7);
        Each("match", "seconds", "Median time until the waters are even, if the valve stays open or were opened now; absent beyond the horizon.", f => f.EvenSeconds.P50);
        Each("brim", "seconds", "Median time until the brim less the freeboard is reached, if the valve stays open or were opened now; absent beyond the horizon.", f => f.BrimSeconds.P50);
        Each("matched_probability", "ratio", "Probability that the waters are even now.", f => f.EvenProbability);

        void Each(string name, string unit, string help, Func<Forecast, double?> of) =>
            text.Gauge($"evenwater_forecast_{name}", unit, help, stations.Select(s => (s.Labels, s.Forecast is { } forecast ? of(forecast) : null)));
    }

    private static void Log(MetricsText text, LogFigures log)
    {
        text.Gauge("evenwater_log_committing", null, "1 while the log can be committed; when it can not, nothing is opened.", [("", log.Commits is { } commits ? commits ? 1 : 0 : null)]);
        text.Counter("evenwater_log_entries", null, "Entries committed since the log was begun.", [("", log.LastEntry)]);
        text.Gauge("evenwater_log_readings", null, "Readings that the log holds.", [("", log.Readings)]);
        text.Gauge("evenwater_log_oldest_uncommitted", "seconds", "Age of the oldest entry that is not on the disk.", [("", log.OldestUncommittedSeconds)]);
        text.Gauge("evenwater_log_size", "bytes", "What the log takes on the disk.", [("", log.Bytes)]);
        text.Gauge("evenwater_log_free", "bytes", "What is free beside the log.", [("", log.FreeBytes)]);
        text.Gauge("evenwater_log_written_per_reading", "bytes", "What the program has caused to be written to disks for each reading, from soon after its start on.", [("", log.WrittenPerReading)]);
        text.Gauge("evenwater_follower_lag", "readings", "Readings that the peer has not acknowledged.", log.Followers.Select(f => (Follower(f), (double?)f.Readings)));
        text.Gauge("evenwater_follower_lag", "entries", "Other entries that the peer has not acknowledged.", log.Followers.Select(f => (Follower(f), (double?)f.Others)));
        text.Gauge("evenwater_follower_lag", "seconds", "Age of the oldest entry that the peer has not acknowledged.", log.Followers.Select(f => (Follower(f), (double?)f.Seconds)));
    }

    private static string Follower(FollowerLag lag) => MetricsText.Label("follower", lag.Follower);

    private static double? Value(ScrapedStation station, Channel channel) => station.Of(channel).TryGet(out var value) ? SiChannel.Of(channel).ToSi(value) : null;

    private static string Unit(Channel channel) => channel switch
    {
        Channel.VesselConductivity or Channel.TankConductivity => "siemens_per_meter",
        Channel.VesselTemperature or Channel.TankTemperature => "celsius",
        Channel.Mass => "kilograms",
        Channel.TankLight => "lux",
        _ => "meters",
    };

    private static string Kebab(string name) => JsonNamingPolicy.KebabCaseLower.ConvertName(name);
}
