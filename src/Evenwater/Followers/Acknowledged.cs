namespace Evenwater.Followers;

/// <summary>
/// How far a server has acknowledged, and how far that may be relied on: a server that dies may lose what it has acknowledged in its last seconds,
/// so those are kept in mind and, when it may have died, sent again. What is sent twice is stored once.
/// </summary>
/// <param name="from">What is relied on already.</param>
/// <param name="settle">After this long an acknowledgement is relied on.</param>
/// <param name="time">Its monotonic clock is used.</param>
internal sealed class Acknowledged(long from, TimeSpan settle, TimeProvider time)
{
    private readonly Queue<(long Id, long At)> _recent = new();
    private long _settled = from;
    private long? _wentBackAt;
    private bool _doubted;

    /// <summary>The last entry that was acknowledged; what comes after it is sent next.</summary>
    public long Last { get; private set; } = from;

    /// <summary>The last entry that the server has had for long enough.</summary>
    public long Settled
    {
        get
        {
            while (!_doubted && _recent.TryPeek(out var first) && time.GetElapsedTime(first.At) >= settle)
            {
                _settled = _recent.Dequeue().Id;
            }

            return _settled;
        }
    }

    /// <summary>The last entry that need not be sent again, as far as is known.</summary>
    public long Sent => _doubted ? _settled : Last;

    /// <summary>Whether all that was acknowledged is relied on.</summary>
    public bool AllSettled => Settled == Last;

    /// <summary>The server has acknowledged all up to here.</summary>
    public void Add(long id)
    {
        Last = id;
        _recent.Enqueue((id, time.GetTimestamp()));
    }

    /// <summary>The server may have died since the last acknowledgement: nothing settles until what is not settled was sent again.</summary>
    public void Doubt()
    {
        _ = Settled;
        _doubted |= _recent.Count > 0;
    }

    /// <summary>
    /// Goes back to what is settled, if there is doubt; but not twice within the time to settle, or a server that closes each connection would be
    /// sent the same for ever.
    /// </summary>
    public void GoBackWhenInDoubt()
    {
        if (_doubted && (_wentBackAt is not { } at || time.GetElapsedTime(at) >= settle))
        {
            (_doubted, _wentBackAt, Last) = (false, time.GetTimestamp(), _settled);
            _recent.Clear();
        }
    }
}
