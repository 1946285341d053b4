using Evenwater.Core.Quantities;

namespace Evenwater.Core.Planning;

/// <summary>The plan, or what a keeper could do in its place: calculated alike, so that all can be laid side by side.</summary>
public sealed record Way
{
    /// <summary>In a few words, at most 24 characters.</summary>
    public required string Title { get; init; }

    /// <summary>What it asks of the keeper, or costs.</summary>
    public required string Asks { get; init; }

    /// <summary>Why it would not end in a match either; empty when it fits.</summary>
    public required IReadOnlyList<Remark<Obstacle>> Obstacles { get; init; }

    /// <summary>When the valve closes, h from the start; null when never.</summary>
    public required double? ReadyHours { get; init; }

    /// <summary>Water in the vessel then, L.</summary>
    public required double? EndLitres { get; init; }

    /// <summary>Water taken from the tank by then, L.</summary>
    public required double? InflowLitres { get; init; }

    /// <summary>Water poured away, drawn off or caught by then, L.</summary>
    public required double? WasteLitres { get; init; }

    /// <summary>Where the temperature settles while it drips.</summary>
    public required Temperature SettlesAt { get; init; }

    /// <summary>Where it goes once closed.</summary>
    public required Temperature RestsAt { get; init; }

    /// <summary>Whether both are within the tolerance.</summary>
    public required bool TemperatureHolds { get; init; }

    /// <summary>What is left of the first difference at the end when that is more than was asked for, µS/cm; null for a whole match.</summary>
    public double? ShortBy { get; init; }

    /// <summary>Whether it ends in the match that was asked for.</summary>
    public bool Fits => Obstacles.Count == 0 && ShortBy is null;
}
