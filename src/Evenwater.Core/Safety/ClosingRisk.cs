namespace Evenwater.Core.Safety;

/// <summary>At which risk of passing the mark the forecast closes: where going on would cost more than closing does.</summary>
/// <remarks>
/// The stated loss: to pass the mark costs 1/tripProbability nights. To close costs the night while the waters are not even, and once they are a twentieth of it, for the
/// plan is broken off and somebody is called. So the risk that may be run is the larger the less likely the waters are even; a fixed limit would spend most of it on nights whose work is done.
/// </remarks>
internal static class ClosingRisk
{
    /// <summary>What a closing costs once the waters are even, as a share of a night. Common practice, no source.</summary>
    public const double OnceEven = 0.05;

    /// <summary>The largest P(brim less freeboard is passed within the horizon) at which the valve may stay open, 0 to 1. Not a number where it is not known how even the waters are: that closes.</summary>
    public static double Limit(StationState state) => Limit(state.Station.Safety.TripProbability, state.TemperaturesAreEven ? Evenness.Likely(state) : 0);

    /// <summary>The same at a probability, 0 to 1, that the waters are even.</summary>
    public static double Limit(double tripProbability, double even) => tripProbability * (1 - ((1 - OnceEven) * even));
}
