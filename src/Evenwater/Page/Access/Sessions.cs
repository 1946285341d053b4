using System.Buffers.Text;
using System.Collections.Concurrent;
using System.Security.Cryptography;

namespace Evenwater.Page.Access;

/// <summary>One that is signed in.</summary>
/// <param name="Key">The SHA-256 of what its cookie holds, in hexadecimal digits.</param>
/// <param name="Token">What its forms prove their origin by.</param>
/// <param name="Begun">A timestamp of the monotonic clock.</param>
internal sealed record Session(string Key, PageToken Token, long Begun)
{
    private long _used = Begun;

    /// <summary>When it was last used, a timestamp.</summary>
    public long Used
    {
        get => Volatile.Read(ref _used);
        set => Volatile.Write(ref _used, value);
    }
}

/// <summary>
/// Who is signed in. In memory alone: a restart signs everybody out. What the cookie holds is known to the browser alone; here is its hash. From any thread.
/// </summary>
/// <param name="time">Its timestamps alone are used.</param>
internal sealed class Sessions(TimeProvider time)
{
    /// <summary>A session that is not used for so long ends, h. Our own choice: who signs in before the night is still in when its morning is over.</summary>
    public const double IdleHours = 24;

    /// <summary>It ends after so long, however much it is used, h. Our own choice; NIST SP 800-63B allows 30 days at its first level.</summary>
    public const double LongestHours = 7 * 24;

    /// <summary>So many at most; who was last used longest ago goes. Our own choice: some devices each of some people.</summary>
    public const int Most = 32;

    /// <summary>256 bits: OWASP, Session Management Cheat Sheet, "Session ID Entropy", asks for 64.</summary>
    private const int SecretBytes = 32;

    private readonly ConcurrentDictionary<string, Session> _all = new(StringComparer.Ordinal);

    /// <summary>Begins one.</summary>
    /// <returns>It, and what its cookie is to hold: told once.</returns>
    public (Session Session, string Cookie) Begin()
    {
        var all = _all.ToArray(); // its own: an ordering would copy it for itself, and end in an exception when another signs in meanwhile
        foreach (var (key, _) in all.Where(s => IsOver(s.Value)).Concat(all.OrderByDescending(s => s.Value.Used).Skip(Most - 1)))
        {
            _all.TryRemove(key, out _);
        }

        var cookie = Base64Url.EncodeToString(RandomNumberGenerator.GetBytes(SecretBytes));
        var session = new Session(KeyOf(cookie), new PageToken(), time.GetTimestamp());
        _all[session.Key] = session;
        return (session, cookie);
    }

    /// <summary>The session of a cookie, used now; null when there is none, or it is over.</summary>
    public Session? Find(string? cookie)
    {
        if (cookie is null || !_all.TryGetValue(KeyOf(cookie), out var session))
        {
            return null;
        }

        if (IsOver(session))
        {
            End(session);
            return null;
        }

        session.Used = time.GetTimestamp();
        return session;
    }

    /// <summary>Whether it still goes on; asking is no use of it.</summary>
    public bool GoesOn(Session session) => _all.TryGetValue(session.Key, out var found) && ReferenceEquals(found, session) && !IsOver(session);

    /// <summary>Ends it.</summary>
    public void End(Session session) => _all.TryRemove(session.Key, out _);

    private bool IsOver(Session session) =>
        time.GetElapsedTime(session.Used).TotalHours >= IdleHours || time.GetElapsedTime(session.Begun).TotalHours >= LongestHours;

    private static string KeyOf(string cookie) => Convert.ToHexStringLower(SHA256.HashData(System.Text.Encoding.UTF8.GetBytes(cookie)));
}
