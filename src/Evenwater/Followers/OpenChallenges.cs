using Evenwater.Running;

namespace Evenwater.Followers;

/// <summary>
/// The challenges that a station has given out and that may still be answered, each once. Kept in memory alone: after a restart none is good. From any thread.
/// </summary>
/// <param name="station">The station's name.</param>
/// <param name="budget">What an opening would permit now; null while the station is not there.</param>
/// <param name="time">Its timestamps alone are used, which no step of the wall clock moves.</param>
internal sealed class OpenChallenges(string station, Func<OpeningBudget?> budget, TimeProvider time)
{
    /// <summary>How many may be open at once. A further one is refused, and none is pushed out: who floods keeps the valve closed.</summary>
    public const int Most = 8;

    private readonly Lock _lock = new();
    private readonly Dictionary<string, (Challenge Challenge, long GivenAt)> _open = new(StringComparer.Ordinal);

    /// <summary>A challenge for a verb, or why there is none.</summary>
    public (Challenge? Challenge, string? Problem) Give(string verb)
    {
        lock (_lock)
        {
            Forget();
            if (_open.Count >= Most)
            {
                return (null, $"{Most} challenges are open already; allowed: up to {Most} within {Challenge.ValidSeconds} s. Wait so long, and ask again");
            }

            if (budget() is not { } permits)
            {
                return (null, "the station is not running; allowed: a station that is. Ask again in a few seconds");
            }

            var challenge = Challenge.Of(station, verb, verb == "open" ? permits : default);
            _open.Add(challenge.Nonce, (challenge, time.GetTimestamp()));
            return (challenge, null);
        }
    }

    /// <summary>The challenge of that nonce, which is used up by this; null when it was never given, was used before, or is too old.</summary>
    public Challenge? Take(string nonce)
    {
        lock (_lock)
        {
            Forget();
            return _open.Remove(nonce, out var given) ? given.Challenge : null;
        }
    }

    private void Forget()
    {
        foreach (var (nonce, given) in _open)
        {
            if (time.GetElapsedTime(given.GivenAt) > TimeSpan.FromSeconds(Challenge.ValidSeconds))
            {
                _open.Remove(nonce);
            }
        }
    }
}
