using Evenwater.Running;

namespace Evenwater.Followers;

/// <summary>The challenges of one station over MQTT, which are answered with the key of this daemon.</summary>
/// <param name="station">The station's name.</param>
/// <param name="key">What they are signed with; null when none is configured, and then none is given out.</param>
/// <param name="budget">What an opening would permit now; null while the station is not there.</param>
/// <param name="time">Its timestamps alone are used.</param>
internal sealed class ChallengeBook(string station, byte[]? key, Func<OpeningBudget?> budget, TimeProvider time)
{
    /// <summary>How many may be open at once.</summary>
    public const int Most = OpenChallenges.Most;

    private readonly OpenChallenges _open = new(station, budget, time);

    /// <summary>Verbs that must be signed.</summary>
    public static IReadOnlyList<string> Verbs { get; } = ["open", "reset"];

    /// <summary>A challenge for a verb, or why there is none.</summary>
    public (Challenge? Challenge, string? Problem) Give(string verb) => key is null ? (null, NoKey) : _open.Give(verb);

    /// <summary>What is wrong with an answer, or null. A challenge that was answered is used up, right or wrong.</summary>
    public string? Take(string verb, SignedAsk answer)
    {
        if (key is null)
        {
            return NoKey;
        }

        if (_open.Take(answer.Nonce) is not { } challenge)
        {
            return $"nonce: not known here, used before, or older than {Challenge.ValidSeconds} s; allowed: one that ask/challenge gave, once. Ask for a new challenge";
        }

        return challenge.Verb != verb ? $"nonce: given for {challenge.Verb}; allowed: one given for {verb}. Ask for a new challenge"
            : challenge.Budget.Millilitres != answer.Millilitres ? $"millilitres: {answer.Millilitres}; allowed: {challenge.Budget.Millilitres}, as the challenge said. Ask for a new one"
            : challenge.Budget.Seconds != answer.Seconds ? $"seconds: {answer.Seconds}; allowed: {challenge.Budget.Seconds}, as the challenge said. Ask for a new one"
            : !challenge.IsSigned(key, answer.Mac) ? "mac: does not fit; allowed: HMAC-SHA-256 of what config/README.md says, with this daemon's key. Ask for a new challenge"
            : null;
    }

    private static string NoKey => "no key is configured, so nothing is opened or reset over MQTT; allowed: with mqtt.askKeyFile. Use 'evenwater begin' or 'evenwater reset' on the daemon's computer";
}
