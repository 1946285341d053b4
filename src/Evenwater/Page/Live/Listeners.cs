using System.Net;
using Evenwater.Page.Access;

namespace Evenwater.Page.Live;

/// <summary>How many listen to live values: a few, since each holds a connection for as long as its page is open.</summary>
internal sealed class Listeners
{
    /// <summary>At most so many at once: half of the connections that the page takes at all.</summary>
    public const int Most = 16;

    /// <summary>Of one client, so that a third of its connections is left for the pages themselves, and for closing.</summary>
    public const int MostOfOne = PageListening.ConnectionsOfOne * 2 / 3;

    private readonly Lock _lock = new();
    private readonly Dictionary<string, int> _clients = new(StringComparer.Ordinal);

    /// <summary>Takes a place, until the answer is complete; false when all are taken, or all of this client.</summary>
    public bool Enter(IPAddress? from, HttpResponse response)
    {
        var client = Client.Of(from);
        lock (_lock)
        {
            var held = _clients.GetValueOrDefault(client);
            if (held >= MostOfOne || _clients.Values.Sum() >= Most)
            {
                return false;
            }

            _clients[client] = held + 1;
        }

        response.OnCompleted(() =>
        {
            lock (_lock)
            {
                if (--_clients[client] == 0)
                {
                    _clients.Remove(client);
                }
            }

            return Task.CompletedTask;
        });
        return true;
    }
}
