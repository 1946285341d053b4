using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Running;

/// <summary>Each sentence says by when the next one comes: who hears none by then has lost the station.</summary>
public sealed class NextWordTests : IDisposable
{
    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void The_next_word_comes_by_when_it_was_promised_though_there_is_nothing_new_to_say()
    {
        using var log = _folder.Open();
        using var drive = RigDrive.River(log);
        drive.Begin();
        drive.Loop.Ask(new Asking(Verb.Close, "test"));
        Assert.True(drive.Go(30, () => drive.Loop.State.Phase == Phase.Holding));
        drive.Go(1500);
        var told = Said(log);
        Assert.InRange(told.Count(one => one.At >= drive.Now.Plus(-1500)), 5, 12); // five minutes each, and no flood
        Assert.All(told.Zip(told.Skip(1)), pair => Assert.InRange(pair.Second.At.SecondsSince(pair.First.At), 0, pair.First.Body.NextWordBySeconds));
        Assert.True(told[^1].At.Plus(told[^1].Body.NextWordBySeconds) > drive.Now, "the last promise is broken already");
    }

    /// <summary>What the broker kept is of before the stop, and may say that the valve is open.</summary>
    [Fact]
    public void A_station_says_how_it_stands_as_soon_as_it_is_there_and_with_no_run_no_more_than_once_a_day()
    {
        using var log = _folder.Open();
        using var drive = RigDrive.River(log);
        drive.Go(1500);
        var (at, body) = Assert.Single(Said(log));
        Assert.InRange(at.Seconds, 1, 5);
        Assert.Equal(("No run is under way.", 86_400), (body.Text, body.NextWordBySeconds));
    }

    private static List<(MonotonicTime At, SayBody Body)> Said(NightLog log)
    {
        log.Flush();
        var said = new List<(MonotonicTime, SayBody)>();
        for (var after = 0L; log.Reader.Read(after, 500, cycles: false) is { Count: > 0 } page; after = page[^1].Id)
        {
            said.AddRange(page.Where(entry => entry.Kind == EntryKind.Say).Select(entry => (entry.At, LogJson.Read<SayBody>(entry.Body!))));
        }

        return said;
    }
}
