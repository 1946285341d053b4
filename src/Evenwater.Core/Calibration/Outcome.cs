using System.Diagnostics.CodeAnalysis;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Calibration;

/// <summary>
/// What a calibration came to: the new one, or why there is none. Nothing else is changed by it, so after a refusal, and by <c>default</c>, the former stays in force.
/// </summary>
/// <typeparam name="T">The calibration.</typeparam>
public readonly record struct Outcome<T>
    where T : class
{
    private Outcome(T? found, Problem? refusal) => (Found, Refusal) = (found, refusal);

    /// <summary>The new calibration; null when it was refused.</summary>
    public T? Found { get; }

    /// <summary>Key, value, allowed range and advice; null when there is a new calibration.</summary>
    public Problem? Refusal { get; }

    /// <summary>Whether there is a new calibration.</summary>
    [MemberNotNullWhen(true, nameof(Found))]
    public bool IsFound => Found is not null;

    /// <summary>A new calibration.</summary>
    public static implicit operator Outcome<T>(T found) => new(found, null);

    /// <summary>A refusal.</summary>
    public static implicit operator Outcome<T>(Problem refusal) => new(null, refusal);
}
