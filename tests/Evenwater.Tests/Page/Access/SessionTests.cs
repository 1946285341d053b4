using System.Net;
using System.Reflection;
using Evenwater.Page.Access;

namespace Evenwater.Tests.Page.Access;

/// <summary>Sessions, what forms prove themselves by, and the two paces, on a clock that moves when told.</summary>
public class SessionTests
{
    private readonly SteppedTime _time = new();

    [Fact]
    public void A_session_is_found_by_its_cookie_alone_and_only_a_hash_of_it_is_kept()
    {
        var sessions = new Sessions(_time);
        var (session, cookie) = sessions.Begin();
        Assert.Same(session, sessions.Find(cookie));
        Assert.Null(sessions.Find(session.Key));
        Assert.Null(sessions.Find(null));
        Assert.Null(sessions.Find(cookie[..^1]));
        Assert.True(Convert.FromBase64String(cookie.Replace('-', '+').Replace('_', '/') + "=").Length >= 16, "fewer than 128 bits");
        Assert.DoesNotContain(cookie, Kept(sessions), StringComparison.Ordinal);
        Assert.NotEqual(cookie, sessions.Begin().Cookie);
    }

    [Fact]
    public void It_ends_when_it_is_not_used_for_a_day_after_a_week_in_any_case_and_when_it_is_ended()
    {
        var sessions = new Sessions(_time);
        var (_, idle) = sessions.Begin();
        var (used, cookie) = sessions.Begin();
        for (var hour = 0; hour < 7 * 24 - 1; hour++)
        {
            Assert.Same(used, sessions.Find(cookie));
            _time.Pass(3600);
            Assert.True(hour != 23 || sessions.Find(idle) is null, "not used for a day, and still there");
        }

        Assert.Same(used, sessions.Find(cookie));
        _time.Pass(3600);
        Assert.Null(sessions.Find(cookie));
        var (ended, gone) = sessions.Begin();
        sessions.End(ended);
        Assert.Null(sessions.Find(gone));
    }

    [Fact]
    public void There_are_never_more_than_so_many()
    {
        var sessions = new Sessions(_time);
        var cookies = new List<string>();
        for (var i = 0; i < Sessions.Most + 5; i++)
        {
            cookies.Add(sessions.Begin().Cookie);
            _time.Pass(1);
        }

        Assert.Equal(Sessions.Most, cookies.Count(c => sessions.Find(c) is not null));
        Assert.Null(sessions.Find(cookies[0]));
        Assert.NotNull(sessions.Find(cookies[^1]));
    }

    [Fact]
    public void A_token_looks_different_each_time_and_is_taken_whole_and_unchanged()
    {
        var (token, other) = (new PageToken(), new PageToken());
        var (first, second) = (token.Masked(), token.Masked());
        Assert.NotEqual(first, second);
        Assert.True(token.Is(first) && token.Is(second));
        Assert.False(other.Is(first));
        foreach (var wrong in new[] { null, "", "x", first[..^2], first + "AA", first[..40] + second[40..], new string('A', first.Length), new string('A', 5000), "åäö", first.Replace(first[3], first[3] == 'A' ? 'B' : 'A') })
        {
            Assert.False(token.Is(wrong), wrong);
        }
    }

    [Fact]
    public void Five_wrong_ones_and_a_client_waits_ever_longer_while_others_go_on()
    {
        var pace = new SignInPace(_time);
        for (var i = 0; i < 5; i++)
        {
            Assert.True(pace.May("a", out _));
        }

        foreach (var wait in new[] { 60, 120, 240, 480, 900, 900 })
        {
            Assert.False(pace.May("a", out var left));
            Assert.Equal(wait, left);
            Assert.True(pace.May("b", out _));
            pace.Right("b");
            _time.Pass(wait - 1);
            Assert.False(pace.May("a", out _));
            _time.Pass(1);
            Assert.True(pace.May("a", out _));
        }

        pace.Right("a");
        Assert.True(pace.May("a", out _));
    }

    [Fact]
    public void Wrong_ones_far_apart_are_no_guessing_and_many_clients_together_are()
    {
        var pace = new SignInPace(_time);
        for (var i = 0; i < 20; i++)
        {
            Assert.True(pace.May("slow", out _));
            _time.Pass(61);
        }

        for (var i = 0; i < SignInPace.FreeOfAll; i++)
        {
            Assert.True(pace.May($"client {i}", out _));
        }

        Assert.False(pace.May("another", out var wait));
        Assert.InRange(wait, 59, 60);
        _time.Pass(60);
        Assert.True(pace.May("another", out _));
    }

    [Fact]
    public void A_client_may_ask_so_often_and_closing_has_a_measure_of_its_own()
    {
        var pace = new ClientPace(_time);
        Assert.Equal(40, Enumerable.Range(0, 100).Count(_ => pace.Hears("a", 1)));
        Assert.True(pace.Hears("a closing", 1));
        Assert.True(pace.Hears("b", 1));
        Assert.Equal(0, Enumerable.Range(0, 100).Count(_ => pace.Hears("a", ClientPace.Asset)));
        _time.Pass(1);
        Assert.Equal(10, Enumerable.Range(0, 100).Count(_ => pace.Hears("a", 1)));
        _time.Pass(3600);
        Assert.Equal(160, Enumerable.Range(0, 500).Count(_ => pace.Hears("a", ClientPace.Asset)));
    }

    [Fact]
    public void The_table_of_clients_is_bounded_and_forgets_nobody_who_asks_too_often()
    {
        var pace = new ClientPace(_time);
        Assert.InRange(Enumerable.Range(0, 1000).TakeWhile(_ => pace.Hears("greedy", 1)).Count(), 1, 999);

        for (var i = 0; i < 5000; i++)
        {
            pace.Hears($"client {i}", 1);
        }

        Assert.False(pace.Hears("greedy", 1));
        Assert.InRange(((System.Collections.ICollection)typeof(ClientPace).GetField("_clients", BindingFlags.Instance | BindingFlags.NonPublic)!.GetValue(pace)!).Count, 1, 512);
    }

    [Theory]
    [InlineData("192.0.2.7", "192.0.2.7")]
    [InlineData("::ffff:192.0.2.7", "192.0.2.7")]
    [InlineData("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::/64")]
    [InlineData("2001:db8:1:2::", "2001:db8:1:2::/64")]
    [InlineData("::1", "::1")]
    public void A_client_is_an_address_or_what_one_computer_has_of_them(string address, string client) => Assert.Equal(client, Client.Of(IPAddress.Parse(address)));

    private static string Kept(Sessions sessions) =>
        string.Join(' ', ((IEnumerable<KeyValuePair<string, Session>>)typeof(Sessions).GetField("_all", BindingFlags.Instance | BindingFlags.NonPublic)!.GetValue(sessions)!).Select(s => $"{s.Key} {s.Value}"));
}
