using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Hardware.Rig;
using Evenwater.Hardware.Trace;
using Evenwater.Log;
using Evenwater.Running;

namespace Evenwater.Tests.Running;

/// <summary>One night, end to end: bytes on a bus, text of 1-wire and levels of pins through the drivers, the cycle, the valve, the log.</summary>
public sealed class NightTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("evenwater-night").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void A_planned_night_ends_even_and_dry()
    {
        var verdict = Rehearsal.Run(DemoStation.Read(), 1, [], 12, null);
        Assert.True(verdict.Good, string.Join('\n', verdict.Story));
        Assert.Equal(Phase.Holding, verdict.End);

        // By hand: V = 225 x 1.6 / 40 = 9.0 L, even after 8.2 h; start volume, flow and gain differ by their spread.
        Assert.InRange(verdict.LitresAtClose, 8.3, 10.4);
        Assert.InRange(verdict.ClosedAt!.Value / 3600, 6.5, 11);
        Assert.DoesNotContain(verdict.Story, s => s.What.StartsWith("alarm", StringComparison.Ordinal));
    }

    [Fact]
    public void The_same_seed_gives_the_same_forecasts_byte_for_byte_and_another_seed_others()
    {
        Assert.Equal(Forecasts(3), Forecasts(3));
        Assert.NotEqual(Forecasts(3), Forecasts(4));
    }

    [Theory]
    [InlineData("siphon-surge@2h")]
    [InlineData("float-cut@1h")]
    [InlineData("leak-wet@1h")]
    [InlineData("no-answer@1h")]
    [InlineData("open-probe@1h")]
    public void Trouble_closes_the_valve_and_spills_nothing(string fault)
    {
        var verdict = Rehearsal.Run(DemoStation.Read(), 1, [RigFault.Parse(fault)], 12, null);
        Assert.NotNull(verdict.ClosedAt);
        Assert.Equal(0, verdict.SpilledLitres);
        Assert.NotEqual(Trip.None, verdict.Trip);
    }

    [Fact]
    public void The_log_replayed_makes_the_very_same_decisions()
    {
        var station = DemoStation.Read();
        using (var log = NightLog.Open(_folder))
        {
            Rehearsal.Run(station, 5, [RigFault.Parse("float-cut@3h")], 4, log);
        }

        using var again = NightLog.Open(_folder);
        var recorded = again.Reader.ReadRun(1).Where(e => e.Kind is EntryKind.Run or EntryKind.Forecast or EntryKind.Alarm).ToList();
        Assert.Contains(recorded, e => e.Kind == EntryKind.Alarm);
        var state = new StationState(station);
        var clock = StationClock.Faster(1, new DateTimeOffset(2026, 1, 10, 20, 0, 0, TimeSpan.Zero), MonotonicTime.FromSeconds(1));
        using var copy = NightLog.Open(Directory.CreateDirectory(Path.Combine(_folder, "copy")).FullName);
        var recorder = new Recorder(copy, new RunNumbers(0), clock, station.Name, copy.StartBoot("replay", simulated: true), copy.Configure(station));
        var cycles = 0;
        LogReplay.Run(again.Reader.Read(0, int.MaxValue), state, (Entry cycle, in EffectBuffer effects) =>
        {
            cycles++;
            for (var i = 0; i < effects.Count; i++)
            {
                recorder.Effect(effects[i], state, cycle.At);
            }
        });
        copy.Flush();
        var replayed = copy.Reader.ReadRun(1).Where(e => e.Kind is EntryKind.Run or EntryKind.Forecast or EntryKind.Alarm).ToList();
        Assert.True(cycles > 4 * 3500, $"{cycles} cycles");
        Assert.Equal(recorded.Select(e => (e.At, e.Kind, e.Body)), replayed.Select(e => (e.At, e.Kind, e.Body)));
    }

    private string Forecasts(ulong seed)
    {
        using var text = new StringWriter();
        var file = new ForecastFile(text);
        Rehearsal.Run(DemoStation.Read(), seed, [], 2, null, (state, now, open) => file.Write(now.Seconds, state.Forecast, open, null));
        Assert.True(text.ToString().Split('\n').Length > 200);
        return text.ToString();
    }
}
