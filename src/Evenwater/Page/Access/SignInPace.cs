namespace Evenwater.Page.Access;

/// <summary>
/// Holds back who guesses. Five wrong passwords of one client, then it waits a minute, after each further one twice as long, up to a quarter of an hour; and all clients
/// together wait when twenty within a minute were wrong. A try counts as wrong until it was right, so that many at once gain nothing. From any thread.
/// </summary>
/// <param name="time">Its timestamps alone are used.</param>
internal sealed class SignInPace(TimeProvider time)
{
    /// <summary>Wrong ones of one client before it waits. NIST SP 800-63B asks for no more than 100 in a row; five is our own choice.</summary>
    public const int FreeOfOne = 5;

    /// <summary>Wrong ones within a minute before all wait. Four clients' worth, so that one alone keeps nobody else out.</summary>
    public const int FreeOfAll = 20;

    /// <summary>The first wait, s.</summary>
    public const double FirstWaitSeconds = 60;

    /// <summary>The longest wait, s.</summary>
    public const double LongestWaitSeconds = 900;

    /// <summary>A client that was not wrong for so long begins anew, s.</summary>
    private const double ForgottenSeconds = 3600;

    private const int MostClients = 256;

    private readonly Lock _lock = new();
    private readonly Dictionary<string, (int Wrong, long LastAt, double WaitSeconds)> _clients = new(StringComparer.Ordinal);
    private readonly List<long> _recent = [];

    /// <summary>Takes a try.</summary>
    /// <param name="client">Who.</param>
    /// <param name="waitSeconds">How long to wait instead, s.</param>
    /// <returns>Whether the try may go on.</returns>
    public bool May(string client, out double waitSeconds)
    {
        lock (_lock)
        {
            _recent.RemoveAll(at => time.GetElapsedTime(at).TotalSeconds >= FirstWaitSeconds);
            _clients.TryGetValue(client, out var known);
            var since = time.GetElapsedTime(known.LastAt).TotalSeconds;
            waitSeconds = Math.Max(
                known.Wrong >= FreeOfOne ? known.WaitSeconds - since : 0,
                _recent.Count >= FreeOfAll ? FirstWaitSeconds - time.GetElapsedTime(_recent[0]).TotalSeconds : 0);
            if (waitSeconds > 0)
            {
                return false;
            }

            var wrong = since >= ForgottenSeconds || (known.Wrong < FreeOfOne && since >= FirstWaitSeconds) ? 1 : known.Wrong + 1;
            Forget(client);
            _clients[client] = (wrong, time.GetTimestamp(), Math.Min(FirstWaitSeconds * Math.Pow(2, wrong - FreeOfOne), LongestWaitSeconds));
            _recent.Add(time.GetTimestamp());
            return true;
        }
    }

    /// <summary>It was right after all: the client begins anew.</summary>
    public void Right(string client)
    {
        lock (_lock)
        {
            _clients.Remove(client);
            if (_recent.Count > 0)
            {
                _recent.RemoveAt(_recent.Count - 1);
            }
        }
    }

    private void Forget(string client)
    {
        if (_clients.Count >= MostClients && !_clients.ContainsKey(client))
        {
            _clients.Remove(_clients.MinBy(c => c.Value.LastAt).Key);
        }
    }
}
