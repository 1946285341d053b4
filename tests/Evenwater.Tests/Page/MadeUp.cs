using Evenwater.Core;
using Evenwater.Core.Estimation;
using Evenwater.Core.Telling;
using Evenwater.Page;
using Evenwater.Page.Opening;

namespace Evenwater.Tests.Page;

/// <summary>Views of an invented night: 1.6 L of bag water at 410 µS/cm filled at 15 mL/min from a tank at 185, tolerance 40, brim 11.6 L.</summary>
internal static class MadeUp
{
    private static readonly DateTimeOffset s_start = new(2026, 3, 1, 20, 0, 0, TimeSpan.FromHours(1));

    public static StationView Night(double hours, string name = "sim-river")
    {
        var seconds = hours * 3600;
        var volume = Volume(seconds);
        var forecast = ForecastAt(seconds);
        var now = s_start.AddSeconds(seconds);
        return new StationView
        {
            Name = name,
            Simulated = name.StartsWith("sim-", StringComparison.Ordinal),
            Speed = name.StartsWith("sim-", StringComparison.Ordinal) ? 60 : 1,
            Now = now,
            NowSeconds = seconds,
            ElapsedSeconds = seconds,
            Word = StateWord.Steady,
            Sentence = $"Even with the tank {TimeWords.When(now, forecast.MatchSeconds)}. The vessel would reach its mark {TimeWords.When(now, forecast.BrimSeconds)}; the valve is set to close before.",
            Did = "Opened the valve at 20:00.",
            Do = "Nothing.",
            Phase = "dripping",
            ValveOpen = true,
            Values =
            [
                new("Vessel conductivity", Conductivity(seconds), "µS/cm at 25 °C", 2),
                new("Tank conductivity", 185, "µS/cm at 25 °C", 2),
                new("Vessel temperature", 21.6, "°C", 4) { Decimals = 1 },
                new("Tank temperature", 23.0, "°C", 4) { Decimals = 1 },
                new("Water in the vessel", volume, "L", 12) { Decimals = 1, P05 = volume * 0.96, P95 = volume * 1.04 },
                new("Inflow", 15, "mL/min", 12) { P05 = 14, P95 = 16 },
                new("Low float", null, "", 0) { Text = volume > 5 ? "wet" : "dry" },
                new("High float", null, "", 0) { Text = "dry" },
                new("Floor", null, "", 0) { Text = "dry" },
            ],
            History = Past(seconds),
            Forecast = forecast,
            ToleranceMicrosiemensPerCm = 40,
            MarkLitres = 10.4,
            BrimLitres = 11.6,
            Events =
            [
                new(0, RunEventKind.Valve, "The valve opened."),
                .. hours > 3 ? [new(2.5 * 3600, RunEventKind.Drawn, "0.5 L drawn off by hand."), new((2.5 * 3600) + 60, RunEventKind.Note, "Noted: feed, a pinch")] : Array.Empty<RunEvent>(),
            ],
            Budgets = [new("Valve open", seconds / 60, 780, "min"), new("Water let in", volume - 1.6, 10, "L", 1)],
        };
    }

    public static StationView Alarm() => Night(5.2) with
    {
        Word = StateWord.Act,
        Sentence = "The floor by the vessel is wet.",
        Did = "Closed the valve at 01:11 and will not open it again by itself.",
        Do = "Go to the vessel now. Pinch the hose above the valve, then look for the leak.",
        ByWhen = s_start.AddHours(5.4),
        Phase = "tripped: leak",
        ValveOpen = false,
        Opens = Opens.Reset,
        Alarms =
        [
            new("Water on the floor", "Closed the valve at 01:11.", "Pinch the hose, dry the sensor, find the leak.", s_start.AddHours(5.4))
            {
                Name = "leak", Priority = "critical", Consequence = "The floor is damaged.", Since = s_start.AddHours(5.2), MayBeAcknowledged = true,
            },
            new("A probe is not believed", "Nobody is called: put aside by a person, cleaning it", "Nothing until it is over.")
            {
                Name = "probe-trouble", Standing = "shelved", Stands = false, ShelvedUntil = s_start.AddHours(6),
            },
            new("The drip has nearly stopped", "The valve is open.", "Look for a clog.") { Name = "drip-slow", MayBeShelved = true },
        ],
        AlarmFigures = "Calls in the last 24 h: 2; most in ten minutes: 1.",
    };

    public static StationView CannotTell()
    {
        var night = Night(3);
        return night with
        {
            Word = StateWord.CannotTell,
            Sentence = "The vessel's probe has not answered for 7 minutes, so nobody can tell when it will be even.",
            Did = "Closed the valve at 22:53.",
            Do = "See whether the probe hangs in the water and its plug is dry.",
            Phase = "tripped: probe",
            ValveOpen = false,
            Forecast = night.Forecast!.Value with { Health = Health.Blind, MatchSeconds = Quantiles.Never, VesselReason = Reason.NoAnswer },
            Values = [.. night.Values.Select((v, i) => i == 0 ? v with { Number = null, AgeSeconds = 420, Reason = "does not answer" } : v)],
            History = [.. night.History.Select(p => p.Seconds > (3 * 3600) - 420 ? p with { VesselConductivity = null, VesselTemperature = null } : p)],
        };
    }

    public static StationView NoRun() => new()
    {
        Name = "sim-river",
        Simulated = true,
        Speed = 60,
        Now = s_start,
        Sentence = "No run is going on.",
        Phase = "idle",
        Opens = Opens.Begin,
        Beginning = new(1.6, 0.1, 10.4, 15, new("Tank conductivity", 185, "µS/cm at 25 °C", 2)),
        BrimLitres = 11.6,
        MarkLitres = 10.4,
        Values = [new("Vessel conductivity", null, "µS/cm at 25 °C", null)],
    };

    private static double Volume(double seconds) => 1.6 + (0.015 * seconds / 60);

    private static double Conductivity(double seconds) => 185 + (225 * 1.6 / Volume(seconds));

    private static IReadOnlyList<HistoryPoint> Past(double until)
    {
        var history = new RunHistory();
        for (double s = 0; s <= until; s += 30)
        {
            var v = Volume(s);
            var wobble = 1.2 * Math.Sin(s / 700);
            history.Add(new(s, Conductivity(s) + wobble, 185 + (0.6 * Math.Sin(s / 2500)), 20 + (s / 20_000), 23, v * 0.95, v, v * 1.05));
        }

        return history.Snapshot();
    }

    private static Forecast ForecastAt(double seconds)
    {
        var v = Volume(seconds);
        return new Forecast
        {
            VolumeLitres = new(v * 0.95, v * 0.98, v, v * 1.02, v * 1.05),
            FlowMillilitresPerMinute = new(13.6, 14.4, 15, 15.6, 16.5),
            MatchSeconds = Spread(29_600 - seconds, 0.88, 1.18),
            BrimSeconds = Spread(35_200 - seconds, 0.86, 1.16),
            BrimProbability = 0,
            Health = Health.Ok,
        };
    }

    private static Quantiles Spread(double median, double early, double late)
    {
        var m = Math.Max(0, median);
        return new(m * early, m * (1 + early) / 2, m, m * (1 + late) / 2, m * late);
    }
}
