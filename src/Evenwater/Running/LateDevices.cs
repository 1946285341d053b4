using Evenwater.Core;
using Evenwater.Core.Stations;
using Evenwater.Hardware;

namespace Evenwater.Running;

/// <summary>
/// The devices of one station, whose board may come later than the program or not at all: a bus that is not switched on must not keep the other stations from being watched. Until it can be
/// opened nothing answers and there is no valve to open; it is tried again on the probes' thread, which may wait.
/// </summary>
internal sealed class LateDevices : IDisposable
{
    /// <summary>It is tried again this often, s. Our own choice.</summary>
    public const double RetrySeconds = 10;

    private readonly Lock _gate = new();
    private readonly IReadOnlyList<Channel> _fitted = [];
    private readonly Func<StationDevices>? _open;
    private StationDevices? _devices;
    private string? _missing;
    private MonotonicTime? _tried;
    private bool _disposed;

    /// <param name="open">What is there already; disposed with this.</param>
    public LateDevices(StationDevices open) => _devices = open;

    /// <param name="station">Whose they are.</param>
    /// <param name="open">Opens them, or throws and says what is missing.</param>
    public LateDevices(Station station, Func<StationDevices> open)
    {
        (_fitted, _open) = (FittedChannels.Of(station), open);
        Try();
    }

    public static implicit operator LateDevices(StationDevices open) => new(open);

    /// <summary>Why there are none, and what to do; null once there are. From any thread.</summary>
    public string? Missing => Volatile.Read(ref _missing);

    /// <summary>The valve's output; null while there is none. From any thread.</summary>
    public Hardware.Valve? Valve => Volatile.Read(ref _devices)?.Valve;

    /// <summary>What was opened, for the log.</summary>
    public string Description => Volatile.Read(ref _devices)?.Description ?? $"not opened: {Missing}";

    /// <summary>Reads the probes, see <see cref="StationDevices.ReadProbes"/>; tries to open what is missing when it is time.</summary>
    public void ReadProbes(MonotonicTime now, ref RawSamples latest)
    {
        _tried ??= now;
        if (Missing is not null && now.SecondsSince(_tried.Value) >= RetrySeconds)
        {
            _tried = now;
            Try();
        }

        if (Volatile.Read(ref _devices) is { } devices)
        {
            devices.ReadProbes(now, ref latest);
            return;
        }

        foreach (var channel in _fitted.Where(c => !Channels.IsSwitch(c) && c != Channel.Drops))
        {
            latest[channel] = RawSample.Missing(Reason.NoAnswer, now);
        }
    }

    /// <summary>Reads the switches, see <see cref="StationDevices.PollSwitches"/>.</summary>
    public void PollSwitches(MonotonicTime now, ref RawSamples latest)
    {
        if (Volatile.Read(ref _devices) is { } devices)
        {
            devices.PollSwitches(now, ref latest);
            return;
        }

        foreach (var channel in _fitted.Where(Channels.IsSwitch))
        {
            latest[channel] = RawSample.Missing(Reason.NoAnswer, now);
        }
    }

    /// <summary>The drops since the last call, see <see cref="StationDevices.TakeDrops"/>.</summary>
    public RawSample TakeDrops(MonotonicTime now) => Volatile.Read(ref _devices) is { } devices
        ? devices.TakeDrops(now)
        : RawSample.Missing(_fitted.Contains(Channel.Drops) ? Reason.NoAnswer : Reason.NotFitted, now);

    public void Dispose()
    {
        lock (_gate)
        {
            _disposed = true;
            _devices?.Dispose();
        }
    }

    private void Try()
    {
        try
        {
            var opened = _open!();
            lock (_gate)
            {
                if (_disposed)
                {
                    opened.Dispose();
                    return;
                }

                Volatile.Write(ref _devices, opened);
                Volatile.Write(ref _missing, null);
            }
        }
        catch (Exception e) when (IsMissing(e))
        {
            Volatile.Write(ref _missing, e.Message);
        }
    }

    /// <summary>What a board throws that is not there, or not as the station file says.</summary>
    public static bool IsMissing(Exception e) =>
        e is IOException or GpioChipException or UnauthorizedAccessException or DllNotFoundException or TypeInitializationException or PlatformNotSupportedException;
}
