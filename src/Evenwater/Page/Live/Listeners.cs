namespace Evenwater.Page.Live;

/// <summary>How many listen to live values: a few, since each holds a connection for as long as its page is open.</summary>
internal sealed class Listeners
{
    /// <summary>At most so many at once: half of the connections that the page takes at all.</summary>
    public const int Most = 16;

    private int _count;

    /// <summary>Takes a place, until the answer is complete; false when all are taken.</summary>
    public bool Enter(HttpResponse response)
    {
        if (Interlocked.Increment(ref _count) > Most)
        {
            Interlocked.Decrement(ref _count);
            return false;
        }

        response.OnCompleted(() =>
        {
            Interlocked.Decrement(ref _count);
            return Task.CompletedTask;
        });
        return true;
    }
}
