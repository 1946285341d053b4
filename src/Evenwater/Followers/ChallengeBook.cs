using Evenwater.Running;

namespace Evenwater.Followers;

/// <summary>
/// The challenges that a station has given out and that may still be answered, each once. Kept in memory alone: after a restart none is good.
/// </summary>
/// <param name="station">The station's name.</param>
/// <param name="key">What they are signed with; null when none is configured, and then none is given out.</param>
/// <param name="budget">What an opening would permit now; null while the station is not there.</param>
/// <param name="time">Its timestamps alone are used, which no step of the wall clock moves.</param>
internal sealed class ChallengeBook(string station, byte[]? key, Func<OpeningBudget?> budget, TimeProvider time)
{
    /// <summary>How many may be open at once. A further one is refused, and none is pushed out: who floods keeps the valve closed.</summary>
    public const int Most = 8;

    private readonly Dictionary<string, (Challenge Challenge, long GivenAt)> _open = new(StringComparer.Ordinal);

    /// <summary>Verbs that must be signed.</summary>
    public static IReadOnlyList<string> Verbs { get; } = ["open", "reset"];

    /// <summary>A challenge for a verb, or why there is none.</summary>
    public (Challenge? Challenge, string? Problem) Give(string verb)
    {
        Forget();
        if (key is null)
        {
            return (null, NoKey);
        }

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

    /// <summary>What is wrong with an answer, or null. A challenge that was answered is used up, right or wrong.</summary>
    public string? Take(string verb, SignedAsk answer)
    {
        Forget();
        if (key is null)
        {
            return NoKey;
        }

        if (!_open.Remove(answer.Nonce, out var given))
        {
            return $"nonce: not known here, used before, or older than {Challenge.ValidSeconds} s; allowed: one that ask/challenge gave, once. Ask for a new challenge";
        }

        var challenge = given.Challenge;
        return challenge.Verb != verb ? $"nonce: given for {challenge.Verb}; allowed: one given for {verb}. Ask for a new challenge"
            : challenge.Budget.Millilitres != answer.Millilitres ? $"millilitres: {answer.Millilitres}; allowed: {challenge.Budget.Millilitres}, as the challenge said. Ask for a new one"
            : challenge.Budget.Seconds != answer.Seconds ? $"seconds: {answer.Seconds}; allowed: {challenge.Budget.Seconds}, as the challenge said. Ask for a new one"
            : !challenge.IsSigned(key, answer.Mac) ? "mac: does not fit; allowed: HMAC-SHA-256 of what config/README.md says, with this daemon's key. Ask for a new challenge"
            : null;
    }

    private static string NoKey => "no key is configured, so nothing is opened or reset over MQTT; allowed: with mqtt.askKeyFile. Use 'evenwater begin' or 'evenwater reset' on the daemon's computer";

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
