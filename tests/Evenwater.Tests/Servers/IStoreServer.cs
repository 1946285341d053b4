using Evenwater.Followers;

namespace Evenwater.Tests.Servers;

/// <summary>A real server that stores points, and can be asked what it has.</summary>
internal interface IStoreServer : IDisposable
{
    ServerProcess Process { get; }

    InfluxOptions Options { get; }

    /// <summary>Starts it, for the first time or again on what it has stored.</summary>
    Task StartAsync();

    /// <summary>Every cycle it has, as often as it has it, in order of time; numbers and switches only.</summary>
    Task<List<StoredCycle>> CyclesAsync();

    /// <summary>How many cycles it has.</summary>
    Task<long> CountAsync();
}

/// <param name="WallMilliseconds">Its time.</param>
/// <param name="Fields">Its numbers by their names; a switch is 0 or 1.</param>
internal sealed record StoredCycle(long WallMilliseconds, Dictionary<string, double> Fields);
