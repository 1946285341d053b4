using Evenwater.Control;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;

namespace Evenwater.Calibrating;

/// <summary>The probes through the running daemon.</summary>
/// <param name="station">Which.</param>
/// <param name="ask">Asks the daemon; null when none answers.</param>
internal sealed class DaemonProbes(Station station, Func<ControlAsk, Task<ControlAnswer?>> ask) : ILiveProbes
{
    /// <summary>The daemon has a new sample each second; a simulated station may run faster than life.</summary>
    private readonly TimeSpan _between = TimeSpan.FromSeconds(station.Sensors.Source == SensorSource.Simulated ? 0.05 : 0.5);

    public async Task<LiveLook?> LookAsync()
    {
        await Task.Delay(_between);
        return await ask(new ControlAsk("raw", station.Name)) is { Ok: true, Raw: { } raw } answer
            ? new LiveLook(RawReading.Back(raw), answer.Drops ?? 0, answer.Phase is not (Phase.Idle or Phase.Finished or Phase.Abandoned))
            : null;
    }

    public async Task<string?> DoAsync(string what) =>
        station.Sensors.Source == SensorSource.Simulated ? (await ask(new ControlAsk("cup", station.Name, Note: what)))?.Text : null;

    public void Dispose()
    {
        // The daemon's probes are its own.
    }
}
