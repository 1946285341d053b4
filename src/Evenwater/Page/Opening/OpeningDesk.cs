using System.Collections.Concurrent;
using System.Security.Cryptography;
using System.Text;
using Evenwater.Followers;

namespace Evenwater.Page.Opening;

/// <summary>
/// Opening and resetting over the page, as a transaction of two steps: a challenge is shown to a person with what it would permit, and done when they confirm it, once and
/// within half a minute. What they measured and whether they stay is part of what was shown. The confirmation carries the challenge's signature by a key of this process and of the visitor, so that what was shown to one can not be confirmed by another.
/// </summary>
/// <param name="budget">What an opening would permit.</param>
/// <param name="time">Its timestamps alone are used.</param>
internal sealed class OpeningDesk(TellBudget budget, TimeProvider time)
{
    private const string Again = "Look again and ask anew.";

    private readonly byte[] _key = [.. Guid.NewGuid().ToByteArray(), .. Guid.NewGuid().ToByteArray()];
    private readonly ConcurrentDictionary<string, OpenChallenges> _open = new(StringComparer.Ordinal);

    /// <summary>A challenge for a verb, or why there is none.</summary>
    public (Challenge? Challenge, string? Problem) Give(string station, string verb) => Of(station).Give(verb);

    /// <summary>What the confirmation must carry.</summary>
    /// <param name="challenge">The challenge.</param>
    /// <param name="visitor">Who it was shown to, and what else was shown: see <see cref="Shown(string, bool, StartMeasured, bool)"/>.</param>
    public string Sign(Challenge challenge, string visitor) => challenge.Sign(Key(visitor));

    /// <summary>What is wrong with a confirmation, or null. The challenge is used up, right or wrong.</summary>
    public string? Take(string station, string verb, SignedAsk answer, string visitor)
    {
        var nothing = verb == "open" ? "Nothing was opened" : "Nothing was reset";
        return Of(station).Take(answer.Nonce) is not { } challenge
            // Who pressed twice is answered to the second, and the first may have done it.
            ? $"{nothing} by this: the question was answered before, or is older than {Challenge.ValidSeconds} s. Look how {station} stands now before you ask anew."
            : challenge.Verb != verb || challenge.Budget.Millilitres != answer.Millilitres || challenge.Budget.Seconds != answer.Seconds
                ? $"{nothing}: that is not what was asked ({Shown(challenge)}). {Again}"
            : !challenge.IsSigned(Key(visitor), answer.Mac) ? $"{nothing}: the question was put to somebody else, was another, or {station} stands otherwise by now. {Again}"
            : null;
    }

    /// <summary>Who a question is shown to, and what is shown beside the challenge.</summary>
    /// <param name="visitor">The session's own secret; empty where nobody signs in.</param>
    /// <param name="attended">Whether somebody stays beside it.</param>
    /// <param name="measured">What was measured.</param>
    /// <param name="begins">Whether a new run begins; else the one that is held goes on.</param>
    public static string Shown(string visitor, bool attended, StartMeasured measured, bool begins) => $"{visitor}\n{attended}\n{measured.Text}\n{begins}";

    /// <summary>What a challenge permits, in words.</summary>
    public static string Shown(string station, string verb, long millilitres, long seconds) => verb == "open"
        ? $"open {station} for at most {millilitres / 1000.0:0.00} L and {seconds / 3600} h {seconds / 60 % 60:00} min"
        : $"reset {station}";

    private static string Shown(Challenge challenge) => Shown(challenge.Station, challenge.Verb, challenge.Budget.Millilitres, challenge.Budget.Seconds);

    private OpenChallenges Of(string station) => _open.GetOrAdd(station, name => new OpenChallenges(name, () => budget(name), time));

    private byte[] Key(string visitor) => HMACSHA256.HashData(_key, Encoding.UTF8.GetBytes(visitor));
}
