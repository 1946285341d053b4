using Evenwater.Core;

namespace Evenwater.Calibrating;

/// <summary>A station's probes as they are now, seen through the running daemon or by ourselves.</summary>
internal interface ILiveProbes : IDisposable
{
    /// <summary>The next look, about a second after the last; null when the probes are out of reach.</summary>
    Task<LiveLook?> LookAsync();

    /// <summary>Has simulated hands do what a person does elsewhere (<see cref="Running.SimulatedHands.Allowed"/>); what they say, or null where only a person can.</summary>
    Task<string?> DoAsync(string what);
}

/// <summary>One look at the probes.</summary>
/// <param name="Raw">What the drivers gave.</param>
/// <param name="Drops">Drops counted so far.</param>
/// <param name="Running">Whether a run is on, in which probes stay where they are.</param>
internal sealed record LiveLook(RawSamples Raw, long Drops, bool Running)
{
    /// <summary>The station's own seconds: the newest sample's.</summary>
    public double Seconds
    {
        get
        {
            var newest = 0.0;
            for (var i = 0; i < Channels.Count; i++) newest = Math.Max(newest, Raw[i].TakenAt.Seconds);
            return newest;
        }
    }

    public bool Equals(LiveLook? other) => ReferenceEquals(this, other);

    public override int GetHashCode() => 0;
}
