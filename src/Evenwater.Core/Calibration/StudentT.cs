namespace Evenwater.Core.Calibration;

/// <summary>Student's t, 95 % points of one side: what a slope's standard deviation is multiplied with when it was itself estimated from few readings.</summary>
internal static class StudentT
{
    // NIST/SEMATECH e-Handbook 1.3.6.7.2, column 0.95 (from memory; 1 and 2 degrees have closed forms, tan(0.45 pi) and 0.9 sqrt(2 / 0.19)).
    private static readonly double[] Degrees = [1, 2, 3, 4, 5, 6, 8, 10, 15, 20, 30, 60, 120, double.PositiveInfinity];
    private static readonly double[] Points = [6.314, 2.920, 2.353, 2.132, 2.015, 1.943, 1.860, 1.812, 1.753, 1.725, 1.697, 1.671, 1.658, 1.645];

    /// <summary>
    /// The point with 95 % below it. Between the table's rows along a straight line in 1/degrees, which lies above the true curve: an interval comes out too wide, never too narrow.
    /// </summary>
    /// <param name="degreesOfFreedom">1 or more; need not be whole.</param>
    public static double OneSided95(double degreesOfFreedom)
    {
        if (!(degreesOfFreedom >= 1)) throw new ArgumentOutOfRangeException(nameof(degreesOfFreedom), degreesOfFreedom, "Allowed: 1 or more.");
        var above = 1;
        while (Degrees[above] < degreesOfFreedom) above++;
        var (left, right) = (1 / Degrees[above - 1], 1 / Degrees[above]);
        var share = (left - (1 / degreesOfFreedom)) / (left - right);
        return Points[above - 1] + (share * (Points[above] - Points[above - 1]));
    }
}
