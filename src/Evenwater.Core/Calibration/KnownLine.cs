using Evenwater.Core.Quantities;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Calibration;

/// <summary>
/// A device's straight line through two or more known amounts. The amounts' own error is put on the device's side: with a span of many times that error, slopes are
/// too flat by no more than (error / span)² (errors in variables, any textbook), far below what is told.
/// </summary>
/// <param name="Line">Device over known amount.</param>
/// <param name="PointSd">1-sigma of one point about the line, in the device's unit: what the residuals show or what the amounts are known to, whichever is more.</param>
public sealed record KnownLine(StraightLine Line, double PointSd)
{
    /// <summary>A point may be off the line by this, as a share of the span between the least and the largest amount. Common practice, no source.</summary>
    public const double MostOff = 0.03;

    /// <summary>The amounts span at least this many times what one is known to, or the slope is worse than 7 % with two points (sqrt 2 / 20). Derivation.</summary>
    public const double LeastSpan = 20;

    /// <summary>Fits the line and looks whether the device is straight.</summary>
    /// <param name="key">Whose points they are, for the refusal.</param>
    /// <param name="unit">Unit of the amounts.</param>
    /// <param name="knownSd">1-sigma of one amount, in its unit, above 0.</param>
    /// <param name="points">Two or more.</param>
    internal static Outcome<KnownLine> Through(string key, string unit, double knownSd, IReadOnlyList<KnownPoint> points)
    {
        Bounds.Check(knownSd, double.Epsilon, double.MaxValue, unit);
        if (points.Count < 2) return new Problem($"{key}.points", $"{points.Count}", "2 or more", "One with nothing in it and one with a known amount; a third shows whether the device is straight.");
        var (known, device) = (points.Select(p => p.Known).ToArray(), points.Select(p => p.Device).ToArray());
        for (var i = 0; i < points.Count; i++)
        {
            if (!double.IsFinite(known[i]) || !double.IsFinite(device[i]) || known[i] < 0)
            {
                return new Problem($"{key}.points[{i}]", $"{Findings.Text(known[i])} {unit}, device {Findings.Text(device[i])}", $"an amount of 0 {unit} or more, and a reading", "Measure this one again.");
            }
        }

        var span = known.Max() - known.Min();
        if (span < LeastSpan * knownSd)
        {
            return new Problem($"{key}.points", $"amounts {Findings.Text(span)} {unit} apart", $"{Findings.Text(LeastSpan * knownSd)} {unit} or more", "Measure an empty and a well filled vessel.");
        }

        var line = StraightLine.Fit(known, device);
        if (!(Math.Abs(line.Slope) > 0))
        {
            return new Problem($"{key}.points", "the same reading for every amount", "readings that differ", "See that the device is connected and carries the load.");
        }

        for (var i = 0; i < points.Count; i++)
        {
            var off = (device[i] - line.At(known[i])) / line.Slope;
            if (Math.Abs(off) > MostOff * span)
            {
                return new Problem($"{key}.points[{i}]", $"off the line by {Findings.Text(off)} {unit}", $"-{Findings.Text(MostOff * span)} to {Findings.Text(MostOff * span)} {unit}",
                    "Measure the amounts again; if it stays so, something touches the vessel, or the device is not straight. The former calibration stays.");
            }
        }

        return new KnownLine(line, Math.Max(line.ResidualSd ?? 0, knownSd * Math.Abs(line.Slope)));
    }
}
