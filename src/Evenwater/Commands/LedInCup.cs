using Evenwater.Control;
using Evenwater.Running;

namespace Evenwater.Commands;

/// <summary>Says to the daemon every few seconds that somebody is led through a calibration or a matching, and at the end that it is over.</summary>
internal sealed class LedInCup : IAsyncDisposable
{
    private readonly Func<ControlAsk, Task<ControlAnswer?>> _ask;
    private readonly string _station;
    private readonly CancellationTokenSource _over = new();
    private readonly Task _saying;

    /// <param name="station">Whose probes.</param>
    /// <param name="by">Who is led.</param>
    /// <param name="ask">Asks the daemon.</param>
    public LedInCup(string station, string by, Func<ControlAsk, Task<ControlAnswer?>> ask)
    {
        (_station, _ask) = (station, ask);
        _saying = SayAsync(by);
    }

    public async ValueTask DisposeAsync()
    {
        await _over.CancelAsync();
        await _saying; // or a last word would come after the end
        await _ask(new ControlAsk("in-cup", _station));
        _over.Dispose();
    }

    private async Task SayAsync(string by)
    {
        do
        {
            await _ask(new ControlAsk("in-cup", _station, Note: by));
            await Task.Delay(Led.SaidEvery, _over.Token).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
        while (!_over.IsCancellationRequested);
    }
}
