using Evenwater.Core.Estimation;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>What a keeper can measure before a run.</summary>
public enum Measurement
{
    /// <summary>Nothing more than is known.</summary>
    None,

    /// <summary>Both conductivity probes in one cup.</summary>
    ProbesInOneCup,

    /// <summary>The first water, with a jug.</summary>
    StartVolume,

    /// <summary>The volume at the brim, by filling it once.</summary>
    Brim,

    /// <summary>The drip, with a timed cup.</summary>
    Flow,

    /// <summary>All of these.</summary>
    All,
}

/// <summary>
/// How wide the forecast would be half way through the run, as the late end over the early end of its middle half (75 % over 25 %): 1 is
/// exact, infinite is "cannot tell". Not the whole range: its ends are held apart by drips that may jump or clog, whatever is measured.
/// </summary>
/// <param name="Even">Time until even in conductivity; null when it never is.</param>
/// <param name="Mark">Time until the mark; null when it never comes.</param>
public readonly record struct Width(double? Even, double? Mark);

/// <summary>
/// What a measurement buys, for one station: its own estimator is run over its own night, noise-free, with what is known and with
/// what would be known. A calculation about a model, not a promise about a night.
/// </summary>
public static class ForecastWidth
{
    /// <summary>The forecast is drawn; the width is the mean of so many drawings, so that none of them decides.</summary>
    private const int Drawings = 16;

    /// <summary>A measured jug, as a fraction. Common practice, no source.</summary>
    public const double JugSd = 0.02;

    /// <summary>A brim filled once and measured. Common practice, no source.</summary>
    public const double BrimSd = 0.01;

    /// <summary>A timed cup. Common practice, no source.</summary>
    public const double TimedCupSd = 0.05;

    /// <summary>The width as things are, then with each measurement that would better it, then with all of those; empty when the run has no half.</summary>
    /// <param name="station">The station; what it expects of the waters is taken as true.</param>
    /// <param name="prior">What is known before the run.</param>
    public static IReadOnlyList<(Measurement With, Width Width)> Of(Station station, Prior prior)
    {
        ArgumentNullException.ThrowIfNull(station);
        ArgumentNullException.ThrowIfNull(prior);
        if (At(station, prior) is not { } asItIs)
        {
            return [];
        }

        var found = new List<(Measurement, Width)> { (Measurement.None, asItIs) };
        var all = prior;
        foreach (var measurement in (ReadOnlySpan<Measurement>)[Measurement.ProbesInOneCup, Measurement.StartVolume, Measurement.Brim, Measurement.Flow])
        {
            if (With(measurement, station, prior) != prior)
            {
                found.Add((measurement, At(station, With(measurement, station, prior))!.Value));
                all = With(measurement, station, all);
            }
        }

        if (found.Count > 2)
        {
            found.Add((Measurement.All, At(station, all)!.Value));
        }

        return found;
    }

    /// <summary>The prior with one thing measured; the same when it is known as well already.</summary>
    internal static Prior With(Measurement measurement, Station station, Prior prior) => measurement switch
    {
        Measurement.ProbesInOneCup when station.Sensors.TankConductivity is not null && prior.GainRatioRelativeSd > Probes.MatchedSd =>
            prior with { GainRatioRelativeSd = Probes.MatchedSd },
        Measurement.StartVolume when prior.StartVolumeRelativeSd > JugSd => prior with { StartVolumeRelativeSd = JugSd },
        Measurement.Brim when prior.BrimRelativeSd > BrimSd => prior with { BrimRelativeSd = BrimSd },
        Measurement.Flow when prior.FlowMillilitresPerMinute is not null && prior.FlowRelativeSd > TimedCupSd => prior with { FlowRelativeSd = TimedCupSd },
        Measurement.Flow when prior.FlowMillilitresPerMinute is null => prior with
        {
            FlowMillilitresPerMinute = RateProposal.MillilitresPerMinute(station, RateProposal.UsualHours),
            FlowRelativeSd = TimedCupSd,
        },
        _ => prior,
    };

    /// <summary>The width half way to whichever comes first; null when neither does within the horizon, or one is there already.</summary>
    internal static Width? At(Station station, Prior prior)
    {
        var night = new ImaginedNight(station with { DrawOffs = [], Pacing = null }, prior);
        var half = Math.Min(night.EvenHours, night.MarkHours) * 3600 / 2;
        if (!(half >= 2 * Process.BlockSeconds && half < Course.HorizonHours * 3600))
        {
            return null;
        }

        var estimator = new Estimator(prior, seed: 1, station.Safety.TripHorizonSeconds);
        for (var seconds = 0.0; seconds <= half; seconds += ImaginedNight.StepSeconds)
        {
            estimator.Step(night.At(seconds), valveOpen: true, MonotonicTime.FromSeconds(seconds));
        }

        var (even, mark) = (0.0, 0.0);
        for (ulong seed = 1; seed <= Drawings; seed++)
        {
            var forecast = estimator.Drawn(seed);
            even += Ratio(forecast.MatchSeconds) / Drawings;
            mark += Ratio(forecast.BrimSeconds) / Drawings;
        }

        return new Width(double.IsPositiveInfinity(night.EvenHours) ? null : even, double.IsPositiveInfinity(night.MarkHours) ? null : mark);
    }

    private static double Ratio(in Quantiles times) => times.P25 > 0 && double.IsFinite(times.P75) ? times.P75 / times.P25 : double.PositiveInfinity;
}
