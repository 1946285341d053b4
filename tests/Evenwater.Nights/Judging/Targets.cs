using Evenwater.Nights.Plant;

namespace Evenwater.Nights.Judging;

/// <summary>What the forecast is to reach: mean pinball loss at 25, 50 and 75 % of the way, ln s.</summary>
internal sealed record Targets(double[] Brim, double[] Match, double EarlyShare)
{
    public const double LeastCoverage = 0.87;
    public const double MostCoverage = 0.94;
    public const double PastMarkShare = 0.005;

    public static Targets For(Care care) => care == Care.Matched
        ? new([0.132, 0.126, 0.198], [0.120, 0.133, 0.207], 0.05)
        : new([0.145, 0.172, 0.300], [0.166, 0.214, 0.422], 0.10);
}
