using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Hardware.Rig;
using Evenwater.Page;
using Evenwater.Page.Charts;
using Evenwater.Page.Opening;
using Evenwater.Running;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Running;

/// <summary>What a person is shown of a station.</summary>
public sealed class ViewMakerTests : IDisposable
{
    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    /// <summary>A keeper who compares the table of tonight with its picture or the history has to find the same words; the vessel is what the station file and every alarm call it.</summary>
    [Fact]
    public void A_channel_has_one_name_on_every_page()
    {
        using var log = _folder.Open();
        var station = DemoStation.Read();
        station = station with { Sensors = station.Sensors with { Light = new(), LoadCell = new() { ClockLine = 24, DataLine = 25, ZeroCounts = 84_000, CountsPerKilogram = 21_500 }, Level = new() { AdcInput = 2, ZeroVolts = 0.4, MillimetresPerVolt = 312.5 } }, Vessel = station.Vessel with { Mode = VesselMode.Standpipe, StandpipeLitres = 6 } };
        var (start, zero) = (new DateTimeOffset(2026, 3, 1, 20, 0, 0, TimeSpan.FromHours(1)), MonotonicTime.FromSeconds(1));
        var clock = StationClock.Faster(1, start, zero);
        using var drive = new RigDrive(new SimulatedRig(station, 1, []), new StationState(station), log, zero, start, real: clock);
        var maker = new ViewMaker(clock);
        Assert.True(drive.Go(30, () => drive.CommitAnd(maker.Make(drive.Loop, drive.Now).Values.All(value => value.Reason is null))));
        var view = maker.Make(drive.Loop, drive.Now);
        Channel[] shown = [Channel.VesselConductivity, Channel.TankConductivity, Channel.VesselTemperature, Channel.TankTemperature, Channel.Mass, Channel.Level, Channel.TankLight, Channel.FloatLow, Channel.FloatHigh, Channel.Leak];
        Assert.Equal(shown.Select(channel => ChannelLook.Of(channel).Label), view.Values.Select(value => value.Label));
        Assert.Equal(6, view.StandpipeLitres);
        Assert.All([PictureWords.Title, PictureWords.Describe(view), ForecastPicture.Draw(view, PictureSize.Wide)], told => Assert.DoesNotContain("bucket", told, StringComparison.OrdinalIgnoreCase));
        Assert.Contains(">vessel</text>", ForecastPicture.Draw(view, PictureSize.Wide), StringComparison.Ordinal);
    }

    /// <summary>Beside "valve closed" an inflow of 15 mL/min would be a valve that leaks.</summary>
    [Fact]
    public void Beside_a_closed_valve_the_inflow_is_what_it_would_be_and_a_run_that_is_over_goes_on_no_longer()
    {
        using var log = _folder.Open();
        var (start, zero) = (new DateTimeOffset(2026, 3, 1, 20, 0, 0, TimeSpan.FromHours(1)), MonotonicTime.FromSeconds(1));
        var clock = StationClock.Faster(1, start, zero);
        var station = DemoStation.Read();
        using var drive = new RigDrive(new SimulatedRig(station, 1, []), new StationState(station), log, zero, start, real: clock);
        var maker = new ViewMaker(clock);
        Assert.True(drive.Go(30, () => drive.CommitAnd(TripCause.IsFresh(drive.Loop.State.Readings))));
        _ = drive.Loop.Ask(new Asking(Verb.Begin, "one", new StartKnown(1.6, Attended: true)));
        Assert.True(drive.Go(120, () => drive.CommitAnd(drive.Loop.State.HasForecast && drive.Rig.ValveOpen)));
        Assert.Single(Inflow(), "Inflow");
        Assert.Equal(1, maker.Make(drive.Loop, drive.Now).Values.Single(value => value.Label == "Inflow").Decimals);
        Assert.Equal((2, 1), (ViewMaker.DripDecimals(0.5), ViewMaker.DripDecimals(null))); // 0.46 to 0.54 was "0.5 (0.5 to 0.5)"
        _ = drive.Loop.Ask(new Asking(Verb.Close, "one"));
        drive.Go(2);
        Assert.Equal("closed", maker.Make(drive.Loop, drive.Now).ValveWord);
        Assert.Single(Inflow(), "Inflow while open");
        Assert.InRange(maker.Make(drive.Loop, drive.Now).ElapsedSeconds ?? -1, 1, 200);
        Assert.Equal(Opens.GoOn, maker.Make(drive.Loop, drive.Now).Opens);

        // Water through the closed valve: "then reset", and no page offered it, but to go on, which was refused.
        drive.Loop.State.Recall(AlarmId.FlowWhileClosed, AlarmStanding.Acknowledged, active: true, drive.Now, drive.Now, drive.Now, null);
        drive.Go(2);
        Assert.Equal(Opens.Reset, maker.Make(drive.Loop, drive.Now).Opens);
        _ = drive.Loop.Ask(new Asking(Verb.Reset, "one"));
        drive.Go(2);
        Assert.Equal(Opens.GoOn, maker.Make(drive.Loop, drive.Now).Opens);
        _ = drive.Loop.Ask(new Asking(Verb.Finish, "one"));
        drive.Go(2);
        Assert.Equal("abandoned", maker.Make(drive.Loop, drive.Now).Phase);
        Assert.Null(maker.Make(drive.Loop, drive.Now).ElapsedSeconds);

        // The vessel is poured away: for days the page went on to say what it holds, and drew what it would.
        drive.Go(2);
        var over = maker.Make(drive.Loop, drive.Now);
        Assert.Equal((null, null), (over.Forecast, over.History[^1].VolumeP50));
        Assert.NotNull(over.History[^3].VolumeP50);
        Assert.DoesNotContain(over.Values, value => value.Label == "Water in the vessel");
        Assert.Empty(Inflow());
        Assert.DoesNotContain("holds", PictureWords.Describe(over), StringComparison.Ordinal);

        IEnumerable<string> Inflow() => maker.Make(drive.Loop, drive.Now).Values.Select(value => value.Label).Where(label => label.StartsWith("Inflow", StringComparison.Ordinal));
    }
}
