using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Hardware.Rig;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Running;

/// <summary>
/// What could siphon is held against the room that this run leaves. config/stations/sim-river.json: 0.48 m2 and 16.6 mm are 7.97 L; of the 10 L from 1.6 to
/// the brim at 11.6 that is just less than 80 %, of the 5.6 L from 6 it is more than all.
/// </summary>
public sealed class LeftAloneTests : IDisposable
{
    private static readonly DateTimeOffset Evening = new(2026, 1, 10, 20, 0, 0, TimeSpan.Zero);

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData(null, true)]
    [InlineData(1.6, true)]
    [InlineData(0.8, true)]
    [InlineData(6.0, false)]
    public async Task A_run_that_begins_with_more_water_than_leaves_room_for_what_could_siphon_is_not_left_alone(double? startLitres, bool alone)
    {
        using var log = _folder.Open();
        using var drive = Drive(log);
        var begun = await AskedAsync(drive, Verb.Begin, new StartKnown(startLitres));
        Assert.Equal(alone, begun.Obeyed);
        if (!alone)
        {
            Assert.Contains("Refused: not to be left alone. source.intakeDepthMillimetres = 16.6: what could siphon, 7.968 L, must not exceed 4.48 L", begun.Text, StringComparison.Ordinal);
            Assert.True((await AskedAsync(drive, Verb.Begin, new StartKnown(startLitres, Attended: true))).Obeyed);
        }
    }

    [Fact]
    public async Task Nor_does_it_go_on_alone_after_it_was_closed()
    {
        using var log = _folder.Open();
        using var drive = Drive(log);
        Assert.True((await AskedAsync(drive, Verb.Begin, new StartKnown(6.0, Attended: true))).Obeyed);
        Assert.True((await AskedAsync(drive, Verb.Close, null)).Obeyed);
        Assert.Equal(Phase.Holding, drive.Loop.State.Phase);
        var directory = new StationDirectory();
        directory.Set(drive.Loop);
        Assert.Contains("must not exceed 4.48 L", (await directory.ObeyAsync(new("phase"))).NotAlone, StringComparison.Ordinal); // it was told after the questions
        Assert.Contains("must not exceed 4.48 L", (await AskedAsync(drive, Verb.Begin, new StartKnown())).Text, StringComparison.Ordinal);
        Assert.True((await AskedAsync(drive, Verb.Begin, new StartKnown(Attended: true))).Obeyed);
    }

    private static async Task<Answer> AskedAsync(RigDrive drive, Verb verb, StartKnown? known)
    {
        var asked = drive.Loop.Ask(new Asking(verb, "test", known));
        drive.Go(2);
        return await asked;
    }

    /// <summary>A station whose proof test is done.</summary>
    private static RigDrive Drive(NightLog log)
    {
        var station = DemoStation.Read();
        var drive = new RigDrive(new SimulatedRig(station, 1, []), new StationState(station), log, MonotonicTime.FromSeconds(1), Evening.AddSeconds(1));
        drive.Go(3);
        drive.ProofTested(Evening);
        return drive;
    }
}
