namespace Evenwater.Core.Planning;

/// <summary>What the keeper wants of a run, and when somebody can be there. All times are hours from the start, 0 to <see cref="Course.HorizonHours"/>.</summary>
public sealed record PlanWishes
{
    /// <summary>Nothing in particular, and always there.</summary>
    public static PlanWishes None { get; } = new();

    /// <summary>When it should be done, h; null for whenever.</summary>
    public double? DoneByHours { get; init; }

    /// <summary>When the keeper leaves, h; null for not at all.</summary>
    public double? LeaveHours { get; init; }

    /// <summary>When the keeper means to be back, h, after <see cref="LeaveHours"/>; null for not away.</summary>
    public double? BackHours { get; init; }

    /// <summary>When somebody is home and awake, in order, not overlapping.</summary>
    public IReadOnlyList<Span> Present { get; init; } = [new Span(0, Course.HorizonHours)];

    /// <summary>From one hour to another.</summary>
    public readonly record struct Span(double FromHours, double ToHours);
}
