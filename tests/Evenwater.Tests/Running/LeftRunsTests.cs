using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Hardware.Rig;
using Evenwater.Log;
using Evenwater.Reporting;
using Evenwater.Running;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Running;

/// <summary>A station is renamed in its file, or taken out, while its run is on.</summary>
public sealed class LeftRunsTests : IDisposable
{
    private static readonly DateTimeOffset Evening = new(2026, 1, 10, 20, 0, 0, TimeSpan.Zero);

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_run_of_a_station_that_is_no_longer_configured_ends_in_the_log_once_and_is_told()
    {
        using var log = _folder.Open();
        var station = DemoStation.Read();
        using var drive = new RigDrive(new SimulatedRig(station, 1, []), new StationState(station), log, MonotonicTime.FromSeconds(1), Evening.AddSeconds(1));
        drive.Begin();
        log.Flush();
        var boot = log.StartBoot("test", simulated: true);
        var start = new FixedTime(Evening.AddHours(2));
        Assert.Empty(LeftRuns.End(log, [station.Name], boot, start));

        var told = Assert.Single(LeftRuns.End(log, ["sim-pond"], boot, start));
        Assert.StartsWith($"Run 1 of {station.Name} was dripping, and there is no station {station.Name} any more", told, StringComparison.Ordinal);
        log.Flush();
        var last = log.Reader.Last(station.Name, EntryKind.Run)!;
        Assert.Equal((1L, "abandoned", boot), (last.RunId, LogJson.Read<RunBody>(last.Body!).Phase, last.BootId));
        Assert.Equal(Evening.AddHours(2), RunTrail.Of(log.Reader, station.Name, 1).Ended);
        Assert.Empty(LeftRuns.End(log, ["sim-pond"], boot, start));

        // Named again as it was, it does not go on.
        Assert.Equal((Phase.Idle, null), (Restart.Of(log, station, start).State.Phase, Restart.Of(log, station, start).RunId));
    }
}
