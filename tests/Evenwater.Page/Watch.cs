using System.Collections.Concurrent;
using Microsoft.Playwright;

namespace Evenwater.PageTests;

/// <summary>All that a context's pages ask for and complain of.</summary>
internal sealed class Watch
{
    private readonly ConcurrentQueue<string> _wrong = new();
    private readonly ConcurrentDictionary<string, bool> _documents = new();

    public Watch(IBrowserContext context, Uri own)
    {
        context.Request += (_, request) => Asked(request, own);
        context.Console += (_, message) => Said(message);
        context.WebError += (_, error) => _wrong.Enqueue($"a script failed: {error.Error}");
    }

    /// <summary>What should not have been, in words.</summary>
    public IReadOnlyList<string> Wrong => [.. _wrong];

    private void Asked(IRequest request, Uri own)
    {
        var asked = new Uri(request.Url);
        if (request.IsNavigationRequest) _documents[request.Url] = true;
        if (asked.Scheme is not ("data" or "blob" or "about") && asked.GetLeftPart(UriPartial.Authority) != own.GetLeftPart(UriPartial.Authority))
        {
            _wrong.Enqueue($"asked elsewhere: {request.Url}");
        }
    }

    // The browser also complains when a whole page is answered with a refusal, such as a form that is shown again with 422: that is an answer, not a fault.
    private void Said(IConsoleMessage message)
    {
        if (message.Type != "error") return;
        var at = message.Location.Split(':') is [.. var address, _, _] ? string.Join(':', address) : message.Location;
        if (message.Text.StartsWith("Failed to load resource: the server responded with a status of 4", StringComparison.Ordinal) && _documents.ContainsKey(at)) return;
        _wrong.Enqueue($"the console says: {message.Text} ({message.Location})");
    }
}
