using System.Globalization;

namespace Evenwater.Tests.Latency;

/// <summary>
/// From the high float to the closed line. Switches are polled at 20 Hz and debounced for 100 ms, so a clean edge takes between 100 and 200 ms, and the rest
/// is the program's. tests/latency runs these with EVENWATER_TRIPS, beside stress on processor and disk.
/// </summary>
public sealed class LatencyTests(ITestOutputHelper output)
{
    /// <summary>From the settled float to the closed line, 99 of 100, ms.</summary>
    private const double MostDebouncedMilliseconds = 20;

    /// <summary>From the wet float to the closed line, in the station's own time, ms: 50 of the poll, 100 of debouncing, 50 till the poll after, and as much for the turn.</summary>
    private const double MostSimulatedMilliseconds = 250;

    /// <summary>The same in real time on a machine under stress, the longest seen, ms.</summary>
    private const double MostStressedMilliseconds = 1000;

    /// <summary>Of fewer than this the 99th percentile is nearly the maximum, and one test that runs beside this one could spoil it.</summary>
    private const int EnoughForP99 = 1000;

    private static int Asked(string variable, int usual) =>
        int.TryParse(Environment.GetEnvironmentVariable(variable), CultureInfo.InvariantCulture, out var asked) ? asked : usual;

    [Fact]
    public void Simulated_a_wet_float_closes_the_line_within_250_ms()
    {
        var (raw, debounced) = (new Latencies(), new Latencies());
        var (nights, ended) = SimulatedTrips.Run(Asked("EVENWATER_TRIPS", 400), Asked("EVENWATER_SEED", 1), raw, debounced);
        output.WriteLine($"simulated, wet to closed, the station's own time:      {raw}; at most {MostSimulatedMilliseconds:0} ms; {nights} nights, {ended} of them ended by a leak that is none");
        output.WriteLine($"simulated, settled to closed, the machine's time:      {debounced}; p99 at most {MostDebouncedMilliseconds:0} ms");

        // No faster than the debounce: a time that can not be would be a clock that is not the station's.
        Assert.InRange(raw.Quantile(0), 100, MostSimulatedMilliseconds);
        Assert.InRange(raw.Max, 100, MostSimulatedMilliseconds);
        P99(debounced);
    }

    [Fact]
    public async Task Live_a_wet_float_closes_the_line_within_a_second_though_page_and_broker_are_flooded()
    {
        var trips = new LiveTrips();
        var wanted = Asked("EVENWATER_TRIPS", 24);
        var calm = Asked("EVENWATER_CALM", 0) == 1;
        var stations = Asked("EVENWATER_STATIONS", 12);
        await trips.RunAsync(wanted, stations, Asked("EVENWATER_SEED", 1), flood: !calm);
        var how = calm ? "live and calm,   " : "live and flooded,";
        output.WriteLine($"{how} wet to closed, real time:            {trips.Raw}; at most {MostStressedMilliseconds:0} ms");
        output.WriteLine($"{how} settled to closed, real time:        {trips.Debounced}{(calm ? $"; p99 at most {MostDebouncedMilliseconds:0} ms" : "")}");
        output.WriteLine($"{trips.Seconds:0} s; {trips.Others} refused openings ({trips.Leaks} by a leak that is none) and trips of another cause, not counted; {trips.Flooded.Pages} pages fetched, {trips.Flooded.Refused} requests refused, {trips.Flooded.Messages} messages sent to the broker meanwhile");
        Assert.True(trips.Raw.Count >= wanted);
        Assert.InRange(trips.Others, 0, Math.Max(stations, wanted / 10)); // more would be a fault of the program
        if (calm)
        {
            P99(trips.Debounced);
        }
        else
        {
            Assert.InRange(trips.Flooded.Pages, 1, long.MaxValue);
            Assert.InRange(trips.Flooded.Refused, trips.Flooded.Pages, long.MaxValue);
            Assert.InRange(trips.Flooded.Messages, wanted, long.MaxValue);
        }

        // A guard that was held up between the clock and the pin takes the float for wet since then: sooner than 100 ms, never later.
        Assert.InRange(trips.Raw.Max, 1, MostStressedMilliseconds);
    }

    private static void P99(Latencies debounced) =>
        Assert.InRange(debounced.Quantile(0.99), 0, debounced.Count >= EnoughForP99 ? MostDebouncedMilliseconds : MostStressedMilliseconds);
}
