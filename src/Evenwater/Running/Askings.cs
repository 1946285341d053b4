using Evenwater.Core;

namespace Evenwater.Running;

/// <summary>
/// What waits for the next turn. A close waits behind nothing and is never dropped; any number of them that wait together are one. It sends
/// away what would open and waits with it: in doubt, closed.
/// </summary>
internal sealed class Askings
{
    /// <summary>How many may wait beside a close; further ones are refused.</summary>
    public const int Most = 16;

    private readonly Lock _lock = new();
    private readonly Queue<Asking> _waiting = [];
    private Asking? _close;
    private Asking? _restart;

    /// <summary>Puts it in line, or answers it at once. From any thread.</summary>
    public Task<Answer> Add(Asking asking)
    {
        lock (_lock)
        {
            if (asking.Verb == Verb.Close)
            {
                _close ??= asking;
                foreach (var opening in _waiting.Where(a => a.Verb == Verb.Begin))
                {
                    opening.Reply(Closing);
                }

                return _close.Answered;
            }

            if (asking.Verb == Verb.Restarted)
            {
                _restart ??= asking;
                return _restart.Answered;
            }

            if (asking.Verb == Verb.Begin && _close is not null)
            {
                asking.Reply(Closing);
            }
            else if (_waiting.Count >= Most)
            {
                asking.Reply(new Answer(false, $"Refused: {Most} commands are already waiting."));
            }
            else
            {
                _waiting.Enqueue(asking);
            }

            return asking.Answered;
        }
    }

    /// <summary>Whether one waits that may not wait for the next turn.</summary>
    /// <param name="mayBeOpen">Whether the valve may be open; closing a closed one, again and again, must not drive the cycle.</param>
    public bool Hurry(bool mayBeOpen)
    {
        lock (_lock)
        {
            return _restart is not null || _waiting.Count > 0 || (_close is not null && mayBeOpen);
        }
    }

    /// <summary>The next one, the close first; null when none waits. A restart goes before all: it says what the station was, and no turn may take the valve for open before.</summary>
    public Asking? Take()
    {
        lock (_lock)
        {
            if (_restart is { } restart)
            {
                _restart = null;
                return restart;
            }

            if (_close is { } close)
            {
                _close = null;
                return close;
            }

            while (_waiting.TryDequeue(out var next))
            {
                if (!next.Answered.IsCompleted)
                {
                    return next;
                }
            }

            return null;
        }
    }

    private static Answer Closing => new(false, "Refused: somebody asked to close just now. Ask again when you know why.");
}
