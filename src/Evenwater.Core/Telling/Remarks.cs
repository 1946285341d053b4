using System.Globalization;

namespace Evenwater.Core.Telling;

/// <summary>What is said beside the forecast: what has just changed, how well the level is known, and why something can't be told.</summary>
internal static class Remarks
{
    /// <summary>A change is told for this long, s.</summary>
    private const double ToldSeconds = 3600;

    /// <summary>Of waters within so many tolerances of each other it is told how far apart they still are.</summary>
    private const double NearTolerances = 3;

    /// <summary>A range of the volume wider than this, late end over early end, is told.</summary>
    private const double WideLevel = 1.15;

    /// <summary>Each begins with a blank; none when there is nothing to remark.</summary>
    public static string Of(StationState state, Moments moments) => Flow(state, moments) + Tank(state, moments) + Probes(state, moments) + Level(state);

    /// <summary>Why the match can't be told: the first cause that holds.</summary>
    public static string WhyNot(StationState state)
    {
        ref readonly var forecast = ref state.Forecast;
        return forecast.VesselReason != Reason.None ? " The vessel's probe is not in use."
            : state.Readings[Channel.TankConductivity].Reason == Reason.NotFitted ? " There is no probe in the tank: its water is known only as it was measured by hand."
            : forecast.TankReason != Reason.None ? " The tank's probe is not in use."
            : Age(state, state.Noticed.Flow?.At) is not null ? " The drip has just changed."
            : state.AlarmOf(Alarms.AlarmId.DripSlow).Stands ? " Too little runs in to go by."
            : Near(state) is not { } apart ? " The water has changed too little so far to go by."
            : state.Run!.Prior.GainRatioRelativeSd > Stations.Probes.MatchedSd ? $" The two probes were not matched in one cup, and the waters are only {apart:0} µS/cm apart."
            : $" The waters are {apart:0} µS/cm apart, and what is left changes too slowly.";
    }

    private static double? Near(StationState state) =>
        state.Readings[Channel.VesselConductivity].TryGet(out var vessel) && state.Readings[Channel.TankConductivity].TryGet(out var tank)
        && Math.Abs(vessel - tank) is var apart && apart <= NearTolerances * state.Run!.Prior.ToleranceMicrosiemensPerCm ? apart : null;

    private static string Flow(StationState state, Moments moments)
    {
        if (state.Noticed.Flow is not { } flow || Age(state, flow.At) is not { } age)
        {
            return "";
        }

        return flow.Factor > 1
            ? $" The drip became about {Factor(flow.Factor)} times as fast; noticed {moments.Ago(age)}."
            : $" The drip fell to about {100 * flow.Factor:0} % of what it was; noticed {moments.Ago(age)}.";
    }

    private static string Tank(StationState state, Moments moments) =>
        Age(state, state.Noticed.Tank) is { } age ? $" The tank's own water began to change; noticed {moments.Ago(age)}." : "";

    private static string Probes(StationState state, Moments moments)
    {
        var text = Age(state, state.Noticed.VesselProbe) is { } vessel && state.Forecast.VesselReason != Reason.None
            ? $" The vessel's probe has not been believed {moments.Since(vessel)}."
            : "";
        return Age(state, state.Noticed.TankProbe) is { } tank && state.Forecast.TankReason != Reason.None
            ? $"{text} The tank's probe has not been believed {moments.Since(tank)}."
            : text;
    }

    /// <summary>Once the waters are probably even the conductivity shows no level any more.</summary>
    private static string Level(StationState state)
    {
        var forecast = state.Forecast;
        var volume = forecast.VolumeLitres;
        var seen = state.Readings[Channel.Mass].IsGood || state.Readings[Channel.Level].IsGood;
        return !seen && forecast.MatchSeconds.P50 <= 0 && volume.P95 > WideLevel * volume.P05
            ? $" The level is known only from {(Floats(state) ? "flow and floats" : "the flow")}: {Litres(volume.P05)} to {Litres(volume.P95)} L."
            : "";

        string Litres(double litres) => litres.ToString(LitresForm.Of(state.Station.Vessel.BrimLitres), CultureInfo.InvariantCulture);
    }

    private static bool Floats(StationState state) => state.Station.Sensors is not { FloatLowLine: null, FloatHighLine: null };

    private static double? Age(StationState state, MonotonicTime? at) =>
        at is { } then && state.LastStepAt.SecondsSince(then) is >= 0 and < ToldSeconds and var age ? age : null;

    private static string Factor(double factor) => factor.ToString(factor < 10 ? "0.#" : "0", CultureInfo.InvariantCulture);
}
