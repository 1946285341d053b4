using System.Globalization;

namespace Evenwater.Tests.Store;

/// <summary>
/// What the card is asked to write. A process of its own does nothing but write a log, so what the kernel counts of it (proc(5), /proc/PID/io) is SQLite's: wchar is
/// what was handed to write(), pages of log and file alike; write_bytes is what went towards the device.
/// </summary>
public sealed class WearTests(ITestOutputHelper output)
{
    [Theory]
    [InlineData(5, 2 * 3600, 200)]
    [InlineData(60, 12 * 3600, 40)]
    public async Task Each_reading_costs_the_card_few_bytes(int batchSeconds, int seconds, int most)
    {
        var (handed, device) = await MeasureAsync(batchSeconds, seconds);
        output.WriteLine($"a batch of {batchSeconds} s: {handed:0.0} bytes a reading written by SQLite, {device:0.0} to the device; at most {most}");

        // Less than the readings themselves would be a count of something else.
        Assert.InRange(handed, 0.5, most);
    }

    /// <summary>The curve, by tests/store; one look here, so that it runs at all.</summary>
    [Fact]
    public async Task The_longer_a_batch_the_less_each_reading_costs()
    {
        var batches = Environment.GetEnvironmentVariable("EVENWATER_BATCHES") is { } asked ? asked.Split(' ').Select(b => int.Parse(b, CultureInfo.InvariantCulture)) : [2, 30];
        var last = double.MaxValue;
        foreach (var batch in batches)
        {
            var (handed, device) = await MeasureAsync(batch, Math.Max(1500, 30 * batch));
            output.WriteLine($"a batch of {batch,3} s: {handed,7:0.0} bytes a reading written by SQLite, {device,7:0.0} to the device");
            Assert.InRange(handed, 0.5, last);
            last = handed;
        }
    }

    private static async Task<(double Handed, double Device)> MeasureAsync(int batchSeconds, int seconds)
    {
        var folder = Directory.CreateTempSubdirectory("evenwater-wear-");
        try
        {
            using var writer = ChildProcess.Wear(folder.FullName, batchSeconds, seconds);
            var said = await writer.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
            await writer.WaitForExitAsync(TestContext.Current.CancellationToken);
            var numbers = said.Split(' ', StringSplitOptions.RemoveEmptyEntries);
            var readings = (double)seconds * LifelikeYear.ChannelsFitted;
            return (long.Parse(numbers[0], CultureInfo.InvariantCulture) / readings, long.Parse(numbers[1], CultureInfo.InvariantCulture) / readings);
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }
}
