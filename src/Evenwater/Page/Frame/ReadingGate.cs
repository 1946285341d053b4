namespace Evenwater.Page.Frame;

/// <summary>
/// Long readings of the log, one at a time: a few may wait a little, the others are told to come again. However many people
/// look at years of history, the cycle's neighbour on this machine is one reading.
/// </summary>
internal sealed class ReadingGate : IDisposable
{
    private const int MostWaiting = 4;
    private static readonly TimeSpan s_longestWait = TimeSpan.FromSeconds(8);

    private readonly SemaphoreSlim _one = new(1);
    private int _waiting;

    /// <summary>Reads on a thread of the pool when its turn comes, and answers with what was read; 503 when that would take too long.</summary>
    /// <param name="http">The request; a reading whose browser has left is called off.</param>
    /// <param name="read">Reads; watches the token.</param>
    public async Task<IResult> Read(HttpContext http, Func<CancellationToken, Task<IResult>> read)
    {
        var stop = http.RequestAborted;
        try
        {
            if (Interlocked.Increment(ref _waiting) > MostWaiting || !await _one.WaitAsync(s_longestWait, stop)) return Busy(http);
        }
        finally
        {
            Interlocked.Decrement(ref _waiting);
        }

        try
        {
            return await Task.Run(() => read(stop), stop);
        }
        finally
        {
            _one.Release();
        }
    }

    public void Dispose() => _one.Dispose();

    private static IResult Busy(HttpContext http)
    {
        http.Response.Headers.RetryAfter = "5";
        return PageRefused.Answer(StatusCodes.Status503ServiceUnavailable, "Others are reading", "Others are reading long spans just now. Ask again in a few seconds.");
    }
}
