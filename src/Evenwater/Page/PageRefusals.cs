using System.Globalization;
using Evenwater.Followers;

namespace Evenwater.Page;

/// <summary>
/// What the page has refused: each kept in a line, a flood of it in two, and all of it counted. From any thread.
/// </summary>
/// <param name="keep">Keeps a line.</param>
/// <param name="time">Its timestamps alone are used.</param>
internal sealed class PageRefusals(Action<string> keep, TimeProvider time)
{
    private const int MostWhy = 160;

    private readonly Lock _lock = new();
    private readonly AskLimit _limit = new(time);
    private long _count;
    private string _last = "";

    /// <summary>How many so far.</summary>
    public long Count => Interlocked.Read(ref _count);

    /// <summary>How many and what was the last, in a sentence; null while there was none.</summary>
    public string? Sentence
    {
        get
        {
            lock (_lock)
            {
                return _count == 0 ? null : string.Create(CultureInfo.InvariantCulture, $"Refused by the page since the start: {_count}, the last: {_last}");
            }
        }
    }

    /// <summary>One more, with the first reason that is told of it.</summary>
    public void Add(HttpContext http, string why)
    {
        if (!http.Items.TryAdd(typeof(PageRefusals), why))
        {
            return;
        }

        var what = $"{AskBy.Shown(http.Request.Method)} {AskBy.Shown(http.Request.Path)}: {AskBy.Shown(why, MostWhy)}";
        lock (_lock)
        {
            (_count, _last) = (_count + 1, what);
            var heard = _limit.Hears(out var over);
            if (over > 0)
            {
                keep($"Over the page: the flood of refused requests is over; {over} of them were counted only.");
            }

            if (heard)
            {
                keep($"Over the page: {what}");
            }
            else if (_limit.Dropped == 1)
            {
                keep("Over the page: too many refused requests; further ones are refused and counted, but not kept, until none has come for a while.");
            }
        }
    }
}
