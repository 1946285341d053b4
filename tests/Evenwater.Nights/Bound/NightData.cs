using Evenwater.Core;
using Evenwater.Hardware.Trace;

namespace Evenwater.Nights.Bound;

/// <summary>What was measured of a night until a moment, in blocks of two minutes.</summary>
internal sealed class NightData
{
    private NightData(int steps, int blocks) =>
        (StepCount, Vessel, Tank, Mass, Level) = (steps, new Blocks(blocks), new Blocks(blocks), new Blocks(steps / Steps.PerFlow), new Blocks(steps / Steps.PerFlow));

    /// <summary>Steps of the water until the moment.</summary>
    public int StepCount { get; }

    /// <summary>ln of the readings.</summary>
    public Blocks Vessel { get; }

    public Blocks Tank { get; }

    /// <summary>
    /// The readings half a minute before and after each end of a piece of the flow: there the volume does not hang on how the flow wandered within the piece.
    /// </summary>
    public Blocks Mass { get; }

    public Blocks Level { get; }

    /// <summary>The vessel's temperature in each piece of the flow's time, °C; the latest stands for what comes.</summary>
    public double[] Celsius { get; private set; } = [];

    /// <summary>When the floats first turned wet, s; null when they have not.</summary>
    public double? LowSeconds { get; private set; }

    public double? HighSeconds { get; private set; }

    /// <summary>Means of blocks, NaN where nothing was read, and the variance of each mean.</summary>
    public sealed class Blocks(int count)
    {
        public double[] Mean { get; } = new double[count];

        public double[] Noise { get; } = new double[count];
    }

    public static NightData Of(IReadOnlyList<TraceRow> rows, double untilSeconds)
    {
        var steps = (int)(untilSeconds / Steps.Seconds);
        var blocks = steps / Steps.PerBlock;
        var data = new NightData(steps, blocks);
        Fill(data.Vessel, rows, Channel.VesselConductivity, Math.Log, s => (int)(s / Steps.BlockSeconds));
        Fill(data.Tank, rows, Channel.TankConductivity, Math.Log, s => (int)(s / Steps.BlockSeconds));
        Fill(data.Mass, rows, Channel.Mass, x => x, PieceEnd);
        Fill(data.Level, rows, Channel.Level, x => x, PieceEnd);
        data.Celsius = Warmth(rows, steps);
        data.LowSeconds = FirstWet(rows, Channel.FloatLow, steps * Steps.Seconds);
        data.HighSeconds = FirstWet(rows, Channel.FloatHigh, steps * Steps.Seconds);
        return data;
    }

    /// <summary>The noise is what the readings scatter within their blocks, pooled over all of them.</summary>
    private static void Fill(Blocks into, IReadOnlyList<TraceRow> rows, Channel channel, Func<double, double> scale, Func<double, int> place)
    {
        var n = into.Mean.Length;
        var (count, sum, square) = (new int[n], new double[n], new double[n]);
        foreach (var row in rows)
        {
            var block = place(row.Seconds);
            if (block >= 0 && block < n && row.Readings[channel].TryGet(out var value))
            {
                var x = scale(value);
                count[block]++;
                sum[block] += x;
                square[block] += x * x;
            }
        }

        var (scatter, free) = (0.0, 0);
        for (var i = 0; i < n; i++)
        {
            into.Mean[i] = count[i] == 0 ? double.NaN : sum[i] / count[i];
            scatter += count[i] == 0 ? 0 : square[i] - (sum[i] * sum[i] / count[i]);
            free += Math.Max(count[i] - 1, 0);
        }

        for (var i = 0; i < n; i++)
        {
            into.Noise[i] = scatter / Math.Max(free, 1) / Math.Max(count[i], 1);
        }
    }

    /// <summary>Which end of a piece is so near; -1 when none.</summary>
    private static int PieceEnd(double seconds)
    {
        var end = (int)Math.Round(seconds / Steps.FlowSeconds);
        return Math.Abs(seconds - (end * Steps.FlowSeconds)) <= 30 ? end - 1 : -1;
    }

    private static double[] Warmth(IReadOnlyList<TraceRow> rows, int steps)
    {
        var pieces = Math.Max((int)Math.Ceiling(steps / (double)Steps.PerFlow), 1);
        var (sum, count) = (new double[pieces], new int[pieces]);
        foreach (var row in rows)
        {
            var piece = (int)(row.Seconds / Steps.FlowSeconds);
            if (piece >= pieces || row.Seconds >= steps * Steps.Seconds)
            {
                break;
            }

            if (row.Readings[Channel.VesselTemperature].TryGet(out var value))
            {
                sum[piece] += value;
                count[piece]++;
            }
        }

        var last = 22.0;
        return [.. sum.Zip(count, (s, c) => last = c > 0 ? s / c : last)];
    }

    /// <summary>A float that is told wet, and thrice more within the next twenty rows: single rows flicker.</summary>
    private static double? FirstWet(IReadOnlyList<TraceRow> rows, Channel channel, double untilSeconds)
    {
        for (var i = 0; i < rows.Count && rows[i].Seconds < untilSeconds; i++)
        {
            if (IsWet(rows[i], channel) && rows.Skip(i + 1).Take(20).Count(r => r.Seconds < untilSeconds && IsWet(r, channel)) >= 3)
            {
                return rows[i].Seconds;
            }
        }

        return null;
    }

    private static bool IsWet(in TraceRow row, Channel channel) => row.Readings[channel].TryGet(out var wet) && wet > 0.5;
}
