namespace Evenwater.Commands;

/// <summary>Who breaks off a guided command by Ctrl-C is told how the valve stands to it: nothing was asked of the daemon yet, or it was, and does it.</summary>
internal sealed class BrokenOff : IDisposable
{
    private readonly Lock _gate = new();
    private readonly CancellationTokenRegistration _registration;
    private bool _asked;
    private bool _broken;

    /// <param name="say">Tells the keeper a line.</param>
    /// <param name="before">What is told while nothing was asked of the daemon.</param>
    /// <param name="after">What is told from then on.</param>
    /// <param name="stop">Ctrl-C.</param>
    /// <param name="putBack">What is done then, while nothing was asked; null for nothing.</param>
    public BrokenOff(Action<string> say, string before, string after, CancellationToken stop, Action? putBack = null) => _registration = stop.Register(() =>
    {
        lock (_gate)
        {
            _broken = true;
            say(_asked ? after : before);
            if (!_asked) putBack?.Invoke();
        }
    });

    /// <summary>The daemon is to be asked now: false when it was broken off, for then it was told that it is not.</summary>
    public bool MayAsk()
    {
        lock (_gate)
        {
            return _asked |= !_broken;
        }
    }

    public void Dispose() => _registration.Dispose();
}
