namespace Evenwater.Page.Access;

/// <summary>
/// How often one client may ask: so many at once, and then so many a second. An asset is a quarter of a request, and closing has a measure of its own, so that who has used up
/// the one can still close. Written here and not taken from the framework's rate limiter, whose table has no bound, which wakes up ten times a second, and which takes no clock.
/// </summary>
/// <param name="time">Its timestamps alone are used.</param>
internal sealed class ClientPace(TimeProvider time)
{
    /// <summary>Requests a second. Our own choice: a page that is looked at asks every few seconds.</summary>
    public const double PerSecond = 10;

    /// <summary>Requests at once. Our own choice: a few pages, opened together.</summary>
    public const double Burst = 40;

    /// <summary>What a style sheet, a script or a picture of the program's own counts.</summary>
    public const double Asset = 0.25;

    private const int MostClients = 512;

    private readonly Lock _lock = new();
    private readonly Dictionary<string, (double Left, long At)> _clients = new(StringComparer.Ordinal);

    /// <summary>Takes a request.</summary>
    /// <param name="client">Who; closing under a name of its own.</param>
    /// <param name="weight">1, or <see cref="Asset"/>.</param>
    public bool Hears(string client, double weight)
    {
        lock (_lock)
        {
            var now = time.GetTimestamp();
            var left = _clients.TryGetValue(client, out var known) ? Left(known) : Burst;
            if (left < weight)
            {
                return false;
            }

            if (_clients.Count >= MostClients && !_clients.ContainsKey(client))
            {
                Forget();
            }

            _clients[client] = (left - weight, now);
            return true;
        }
    }

    private double Left((double Left, long At) known) => Math.Min(known.Left + (time.GetElapsedTime(known.At).TotalSeconds * PerSecond), Burst);

    // Who has all of it back is as one who never came. When none has, the one who has most of it goes: it gains least.
    private void Forget()
    {
        foreach (var client in _clients.Where(c => Left(c.Value) >= Burst).Select(c => c.Key).ToList())
        {
            _clients.Remove(client);
        }

        if (_clients.Count >= MostClients)
        {
            _clients.Remove(_clients.MaxBy(c => Left(c.Value)).Key);
        }
    }
}
