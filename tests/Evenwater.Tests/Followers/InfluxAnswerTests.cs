using System.Globalization;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Tests.Log;
using Evenwater.Tests.Servers;

namespace Evenwater.Tests.Followers;

/// <summary>What the follower does upon each kind of answer.</summary>
public sealed class InfluxAnswerTests : IDisposable
{
    private readonly LogFolder _folder = new();
    private readonly NightLog _log;
    private readonly Night _night;

    public InfluxAnswerTests()
    {
        _log = _folder.Open();
        _night = new Night(_log);
    }

    public void Dispose()
    {
        _log.Dispose();
        _folder.Dispose();
    }

    [Theory]
    [InlineData(500)]
    [InlineData(503)]
    [InlineData(504)]
    [InlineData(429)]
    [InlineData(408)]
    [InlineData(200)] // a proxy's own page
    [InlineData(302)] // the way to one
    public async Task Trouble_of_the_server_is_waited_out_and_nothing_is_set_aside(int status)
    {
        Cycles(300);
        var asked = 0;
        using var server = new Answering((_, answer) =>
        {
            answer.RedirectLocation = status == 302 ? "/sign-in" : null;
            return asked++ is 0 or 2 or 3 ? (status, "try again later") : (204, "");
        });
        await using var following = Follow(server);
        await Following.Until(() => following.Follower.Fault is not null);
        await following.DoneAsync();
        Assert.Equal(Enumerable.Range(1, 300).Select(i => (long)i), server.Stored);
        Assert.Equal(0, following.Follower.Refused);
        Assert.Empty(following.Told);
        Assert.Null(following.AlarmAt);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task A_server_that_names_a_wait_is_left_alone_for_as_long(bool asDate)
    {
        Cycles(3);
        var asked = 0;
        using var server = new Answering((_, answer) =>
        {
            answer.AddHeader("Retry-After", asDate ? DateTimeOffset.UtcNow.AddSeconds(3).ToString("R", CultureInfo.InvariantCulture) : "2");
            return asked++ == 0 ? (429, "too many writes") : (204, "");
        });
        await using var following = Follow(server);
        await following.DoneAsync();
        var times = server.AskedAt;
        Assert.Equal(2, times.Count);
        Assert.InRange((times[1] - times[0]).TotalSeconds, 1.8, 10); // Dates are whole seconds: 2 to 3 are left of 3.
    }

    /// <summary>A full disk, or a small budget and a database that is long away: numbers are dense, so what is missing can be counted.</summary>
    [Fact]
    public async Task Readings_that_had_to_make_room_before_they_were_sent_are_told_of_once()
    {
        Cycles(20);
        _night.Add(EntryKind.Event, new EventBody("test", "x"));
        Cycles(200);
        _log.Flush();
        using (var other = new Microsoft.Data.Sqlite.SqliteConnection($"Data Source={_folder.File};Pooling=False"))
        {
            // As the log itself lets go of its oldest, but of batches, which are fewer.
            other.Open();
            using var drop = other.CreateCommand();
            drop.CommandText = "DELETE FROM batch WHERE last_id <= 20";
            Assert.NotEqual(0, drop.ExecuteNonQuery());
        }

        using var server = new Answering((_, _) => (204, ""));
        await using var following = Follow(server);
        await following.DoneAsync();
        Cycles(1);
        await following.DoneAsync();
        Assert.Equal(Enumerable.Range(21, 202).Select(i => (long)i), server.Stored);
        Assert.StartsWith("influxdb: 20 readings between entries 0 and ", Assert.Single(following.Gaps), StringComparison.Ordinal);
    }

    /// <summary>design.md: "then the gap is an event and an alarm". A database that was taken in years later was promised nothing of what was before it.</summary>
    [Fact]
    public void A_gap_is_an_alarm_too_but_not_one_from_before_the_first_entry_that_was_sent()
    {
        var missed = new List<string>();
        var refusals = new InfluxRefusals(new RefusalsTold((_, _) => { }, _ => { }) { Missed = missed.Add }, TimeSpan.FromHours(1), TimeProvider.System, Microsoft.Extensions.Logging.Abstractions.NullLogger.Instance);
        Page(0, 21);
        Page(21, 22);
        Assert.Empty(missed);
        Page(22, 40);
        Page(40, 41);
        Page(41, 42);
        Assert.Equal(["sim-river"], missed);

        void Page(long after, long id) => refusals.Page(after, [_night.Make(EntryKind.Cycle, null) with { Id = id }]);
    }

    /// <summary>Nearly all of the file is readings: a card that wears out spoils those first, and SQLite sees nothing wrong with it.</summary>
    [Fact]
    public async Task Readings_that_can_not_be_read_hold_up_nothing_that_comes_after_them()
    {
        Cycles(20);
        _log.Flush();
        using (var other = new Microsoft.Data.Sqlite.SqliteConnection($"Data Source={_folder.File};Pooling=False"))
        {
            other.Open();
            using var spoil = other.CreateCommand();
            spoil.CommandText = "UPDATE batch SET columns = x'0000'";
            Assert.NotEqual(0, spoil.ExecuteNonQuery());
        }

        var told = _night.Add(EntryKind.Event, new EventBody("test", "x"));
        Cycles(10);
        _log.Flush();
        using var server = new Answering((_, _) => (204, ""));
        await using var following = Follow(server);
        await following.DoneAsync();
        Assert.Equal(Enumerable.Range((int)told, 11).Select(i => (long)i), server.Stored);
        Assert.All(following.Gaps, text => Assert.Contains(" can not be read and are not sent.", text, StringComparison.Ordinal));
        Assert.Contains(following.Gaps, text => text.StartsWith("influxdb: the log is damaged: ", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("body = '{7x'")]
    [InlineData("wall_ms = 9223372036854775807")] // no date at all, and not one that is still to come
    public async Task A_row_that_can_not_be_read_holds_up_nothing_that_comes_after_it_and_no_server_is_blamed(string otherBytes)
    {
        var spoilt = _night.Add(EntryKind.Forecast, new EventBody("test", "x"));
        _log.Flush();
        using (var other = new Microsoft.Data.Sqlite.SqliteConnection($"Data Source={_folder.File};Pooling=False"))
        {
            other.Open();
            using var spoil = other.CreateCommand();
            spoil.CommandText = $"UPDATE entry SET {otherBytes} WHERE id = {spoilt}";
            Assert.Equal(1, spoil.ExecuteNonQuery());
        }

        Cycles(3);
        using var server = new Answering((_, _) => (204, ""));
        await using var following = Follow(server);
        await following.DoneAsync();
        Assert.Equal(Enumerable.Range(2, 3).Select(i => (long)i), server.Stored);
        Assert.Contains($"entry {spoilt} ", Assert.Single(following.Gaps), StringComparison.Ordinal);
        Assert.Empty(following.Told);
        Assert.Null(following.AlarmAt);
    }

    [Theory]
    [InlineData(401)]
    [InlineData(403)]
    [InlineData(404)]
    public async Task Who_may_not_write_at_all_has_no_poison_waits_and_calls(int status)
    {
        Cycles(300);
        var denies = true;
        using var server = new Answering((_, _) => Volatile.Read(ref denies) ? (status, "{\"code\":\"unauthorized\",\"message\":\"unauthorized access\"}") : (204, ""));
        await using var following = Follow(server);
        await Following.Until(() => server.AskedAt.Count > 4);
        Assert.Contains("refuses this daemon, and no reading: unauthorized access", following.Follower.Fault, StringComparison.Ordinal);
        Assert.Equal("sim-river", following.AlarmAt);
        Assert.Contains("tokenFile", Assert.Single(following.Told).Text, StringComparison.Ordinal);
        Assert.Equal((0, 0), (_log.Cursor(InfluxFollower.Name), following.Follower.Refused));
        Volatile.Write(ref denies, false);
        await following.DoneAsync();
        await Following.Until(() => following.AlarmAt is null);
        Assert.Equal(300, server.Stored.Count);
    }

    [Theory]
    [InlineData(400)]
    [InlineData(422)]
    public async Task Poison_is_set_aside_by_itself_and_all_else_goes_on(int status)
    {
        Cycles(450);
        long[] poison = [7, 201, 202, 203, 399];
        using var server = new Answering((lines, _) => lines.Select(Answering.EntryOf).FirstOrDefault(poison.Contains) is > 0 and var bad ? (status, $"unable to parse entry {bad}") : (204, ""));
        await using var following = Follow(server);
        await following.DoneAsync();
        Assert.Equal(Enumerable.Range(1, 450).Select(i => (long)i).Except(poison), server.Stored);
        Assert.Equal(5, following.Follower.Refused);
        Assert.Equal(
            [$"influxdb: set aside, because the server refuses it: entry 7. It says: unable to parse entry 7 (status {status})",
                $"influxdb: set aside, because the server refuses them: entries 201 to 203, 399. It says: unable to parse entry 201 (status {status}), and 3 more reasons"],
            following.Told.Select(t => t.Text));
        Assert.Equal("sim-river", following.AlarmAt);
    }

    /// <summary>It refuses entries 7 and 9, at first; when 9 was refused alone it takes 7 again.</summary>
    [Fact]
    public async Task What_a_server_refuses_only_while_it_comes_back_is_sent_once_more_and_no_poison()
    {
        Cycles(40);
        var refused = 0;
        using var server = new Answering((lines, _) =>
        {
            var numbers = lines.Select(Answering.EntryOf).ToList();
            refused += numbers is [9] ? 1 : 0;
            return numbers.Contains(9) || (refused == 0 && numbers.Contains(7)) ? (400, "unable to parse") : (204, "");
        });
        await using var following = Follow(server);
        await following.DoneAsync();
        Assert.Equal(Enumerable.Range(1, 40).Select(i => (long)i).Except([9]), server.Stored);
        Assert.Equal("influxdb: set aside, because the server refuses it: entry 9. It says: unable to parse (status 400)", Assert.Single(following.Told).Text);
        Assert.Equal(2, refused);
    }

    /// <summary>It refuses all that is new, down to the single entry, and takes everything again from when it is shown something old.</summary>
    [Fact]
    public async Task A_server_that_takes_all_again_after_a_whole_batch_was_refused_sets_nothing_aside()
    {
        Cycles(10);
        var refuses = false;
        using var server = new Answering((lines, _) =>
        {
            refuses &= lines.All(line => Answering.EntryOf(line) > 10);
            return Volatile.Read(ref refuses) ? (400, "unable to parse") : (204, "");
        });
        await using var following = Follow(server);
        await following.DoneAsync();
        Volatile.Write(ref refuses, true);
        Cycles(5);
        await following.DoneAsync();
        Assert.Equal(Enumerable.Range(1, 15).Select(i => (long)i), server.Stored);
        Assert.Equal(0, following.Follower.Refused);
        Assert.Empty(following.Told);
    }

    [Fact]
    public async Task A_server_that_refuses_everything_refuses_the_daemon_and_nothing_is_set_aside()
    {
        Cycles(300);
        var broken = false;
        using var server = new Answering((_, _) => Volatile.Read(ref broken) ? (400, "not for this address") : (204, ""));
        await using var following = Follow(server);
        await following.DoneAsync();
        Volatile.Write(ref broken, true);
        Cycles(5);
        await Following.Until(() => following.Follower.Fault is not null);
        await Task.Delay(300, TestContext.Current.CancellationToken);
        Assert.Equal(0, following.Follower.Refused);
        Assert.Contains("not for this address", Assert.Single(following.Told).Text, StringComparison.Ordinal);
        Volatile.Write(ref broken, false);
        await following.DoneAsync();
        Assert.Equal(305, server.Stored.Count);
    }

    [Fact]
    public async Task A_single_poison_entry_of_a_quiet_night_is_told_apart_from_a_server_that_refuses_everything()
    {
        Cycles(10);
        using var server = new Answering((lines, _) => lines.Any(l => Answering.EntryOf(l) == 11) ? (400, "unable to parse") : (204, ""));
        await using (var following = Follow(server))
        {
            await following.DoneAsync();
            Cycles(1);
            await following.DoneAsync();
            Assert.Equal(1, following.Follower.Refused);
        }

        // As after a restart: what was taken last is in the log.
        _log.MoveCursor(InfluxFollower.Name, 10);
        await using var again = Follow(server);
        await again.DoneAsync();
        Assert.Equal(1, again.Follower.Refused);
    }

    [Fact]
    public async Task Events_about_refusals_that_are_refused_call_forth_no_more_of_them()
    {
        Cycles(3);
        _night.Add(EntryKind.Event, new EventBody("test", "poison"));
        _log.Flush();
        using var server = new Answering((lines, _) => lines.Any(l => l.StartsWith("event", StringComparison.Ordinal)) ? (400, "unable to parse") : (204, ""));
        await using var following = new Following(_log, Options(server), text =>
        {
            _night.Add(EntryKind.Event, new EventBody(InfluxRefusals.EventName, text));
        });
        await Following.Until(() => following.Follower.Refused == 2);
        await following.DoneAsync();
        await Task.Delay(500, TestContext.Current.CancellationToken);
        Assert.Single(following.Told);
        Assert.Equal(5, _log.LastId);
    }

    [Fact]
    public async Task What_is_refused_again_because_it_was_sent_again_is_told_once()
    {
        Cycles(10);
        var fails = false;
        using var server = new Answering((lines, _) => Volatile.Read(ref fails) ? (503, "away") : lines.Any(l => Answering.EntryOf(l) == 5) ? (422, "unable to parse") : (204, ""));
        await using var following = new Following(_log, Options(server) with { SettleSeconds = 2 });
        await Following.Until(() => following.Follower.Refused == 1);
        var requests = following.Follower.Requests;
        Volatile.Write(ref fails, true);
        Cycles(1);
        await Following.Until(() => following.Follower.Fault is not null);
        Volatile.Write(ref fails, false);
        await following.DoneAsync();
        Assert.True(following.Follower.Requests > requests + 6, "the refused one was not sent again");
        Assert.Single(following.Told);
        Assert.Equal(1, following.Follower.Refused);
    }

    [Fact]
    public async Task A_batch_that_is_too_large_is_sent_in_parts_and_the_next_ones_are_smaller()
    {
        Cycles(1000);
        using var server = new Answering((lines, _) => lines.Count > 60 ? (413, "too large") : (204, ""));
        await using var following = Follow(server);
        await following.DoneAsync();
        Assert.Equal(1000, server.Stored.Count);
        Assert.Equal(0, following.Follower.Refused);

        // 200, 2 x 100, 4 x 50; 100, 2 x 50; then 14 x 50.
        Assert.Equal(7 + 3 + 14, server.AskedAt.Count);
    }

    [Fact]
    public async Task What_has_no_wall_time_is_waited_for_in_words_and_ever_more_seldom()
    {
        Cycles(2);
        _night.HasWall = false;
        Cycles(1);
        using var server = new Answering((_, _) => (204, ""));
        await using var following = new Following(_log, new InfluxOptions { Url = server.Url, Bucket = "tank", RetrySeconds = 0.2, LongestRetrySeconds = 60 });
        await Following.Until(() => following.Follower.Fault is not null);
        Assert.StartsWith("entry 3 has no wall time yet", following.Follower.Fault, StringComparison.Ordinal);
        await Task.Delay(1000, TestContext.Current.CancellationToken);
        Assert.InRange(following.Follower.Tries, 2, 6); // 1 with what has times; then after 0, 0.1 to 0.2, 0.2 to 0.4, 0.4 to 0.8 s.
        Assert.Equal([1, 2], server.Stored);
        Assert.Null(following.AlarmAt);
    }

    private void Cycles(int count)
    {
        for (var i = 0; i < count; i++)
        {
            _night.Cycle();
        }

        _log.Flush();
    }

    private Following Follow(Answering server) => new(_log, Options(server));

    /// <summary>This server closes its connection with most refusals, and has not died.</summary>
    private static InfluxOptions Options(Answering server) => Following.Quick(new InfluxOptions { Url = server.Url, Bucket = "tank", SettleSeconds = 0 });
}
