using InfluxDB.Client.Core.Exceptions;
using InfluxDB.Client.Writes;

namespace Evenwater.Followers;

/// <summary>
/// Sends a batch; what a server refuses of it is found by halving, until the points that are to blame stand alone. Parts are sent more than once
/// on the way, which stores them once.
/// </summary>
internal sealed class InfluxBatch(Func<PointData[], Task> write)
{
    /// <summary>Places in the batch of what was refused, in order, and why.</summary>
    public List<(int Place, InfluxAnswer Why)> Refused { get; } = [];

    /// <summary>The last point that the server has taken; null when it took none.</summary>
    public PointData? Taken { get; private set; }

    /// <summary>Whether the server said that so much at once is too much.</summary>
    public bool TooLarge { get; private set; }

    /// <summary>What refused it all, when nothing was taken and the server may have meant the request and not a point.</summary>
    public HttpException? Suspect { get; private set; }

    /// <exception cref="Exception">Whatever is no refusal of points: nothing is known then, and all is to be sent again.</exception>
    public async Task SendAsync(PointData[] points)
    {
        var parts = new Stack<(int From, int Count)>();
        parts.Push((0, points.Length));
        while (parts.TryPop(out var part))
        {
            try
            {
                await write(points[part.From..(part.From + part.Count)]);
                (Taken, Suspect) = (points[part.From + part.Count - 1], null);
            }
            catch (HttpException e) when (InfluxAnswer.Of(e) is { Verdict: InfluxVerdict.Refused } why)
            {
                TooLarge |= e.Status == 413 && part.Count > 1;
                if (part.Count > 1 && why.Dropped < part.Count)
                {
                    // The second half waits below the first: refusals come in order.
                    var half = part.Count / 2;
                    parts.Push((part.From + half, part.Count - half));
                    parts.Push((part.From, half));
                    continue;
                }

                Refused.AddRange(Enumerable.Range(part.From, part.Count).Select(place => (place, why)));
                Suspect = Taken is null && !why.NamesPoints && Refused.TrueForAll(r => !r.Why.NamesPoints) ? e : null;
            }
        }
    }
}
