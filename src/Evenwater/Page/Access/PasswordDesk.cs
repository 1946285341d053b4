using Evenwater.Running;

namespace Evenwater.Page.Access;

/// <summary>
/// Compares passwords with the hash: one at a time, each on a thread of its own that goes after all others, since one takes about a second of a small computer's
/// processor. A few wait for their turn; more are sent away.
/// </summary>
/// <param name="isPassword">Whether it is the password. Slow on purpose.</param>
internal sealed class PasswordDesk(Func<string, bool> isPassword) : IDisposable
{
    /// <summary>How many may wait. Our own choice: some seconds' work on a small computer.</summary>
    public const int MostWaiting = 4;

    private readonly SemaphoreSlim _turn = new(1, 1);
    private int _here;

    /// <summary>Whether it is the password; null when too many wait already.</summary>
    public async Task<bool?> IsRightAsync(string password, CancellationToken stop)
    {
        try
        {
            if (Interlocked.Increment(ref _here) > MostWaiting + 1)
            {
                return null;
            }

            await _turn.WaitAsync(stop);
            try
            {
                return await Task.Factory.StartNew(
                    () =>
                    {
                        Urgent.GoLast();
                        return isPassword(password);
                    },
                    CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);
            }
            finally
            {
                _turn.Release();
            }
        }
        finally
        {
            Interlocked.Decrement(ref _here);
        }
    }

    public void Dispose() => _turn.Dispose();
}
