using System.Diagnostics.CodeAnalysis;
using System.Runtime.CompilerServices;
using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;

namespace Evenwater.Core;

/// <summary>What a cycle asks the outside to do, or tells it has decided.</summary>
public enum EffectKind : byte
{
    /// <summary>Hold the valve open until <see cref="Effect.Until"/>, not longer.</summary>
    Lease,

    /// <summary>Close the valve now, then record.</summary>
    Shut,

    /// <summary>Commit the opening and its budgets to the log, then set <see cref="Samples.OpeningCommitted"/>.</summary>
    AskOpening,

    /// <summary>The phase has changed to <see cref="Effect.Phase"/>, with <see cref="Effect.Trip"/> if it is a trip.</summary>
    PhaseChanged,

    /// <summary>There is a new forecast in the state.</summary>
    Evaluated,

    /// <summary>An alarm stands otherwise than before, <see cref="Effect.Standing"/>, or calls again.</summary>
    AlarmChanged,

    /// <summary>Water was taken out of the vessel, <see cref="Effect.Drawn"/>, and the estimate knows it.</summary>
    DrawnOff,

    /// <summary>A command was not obeyed, for <see cref="Effect.Refusal"/>.</summary>
    Refused,
}

/// <summary>Why a command was not obeyed.</summary>
public enum Refusal : byte
{
    /// <summary>It was.</summary>
    None,

    /// <summary>Not in this phase.</summary>
    WrongPhase,

    /// <summary>A float or the leak sensor is wet or gives no answer.</summary>
    NotClear,

    /// <summary>An alarm stands that stays until a person resets it.</summary>
    Latched,

    /// <summary>A probe has no good, recent reading.</summary>
    NotFresh,

    /// <summary>The log can not commit.</summary>
    LogLost,

    /// <summary>There is no run, and no start was given.</summary>
    NoRun,

    /// <summary>The run has used up its room, its time or its water.</summary>
    Spent,

    /// <summary>More than the vessel can hold, or no amount at all.</summary>
    NotThere,

    /// <summary>An alarm of a flood, a leak or a valve that did not close is never silenced.</summary>
    NeverSilenced,

    /// <summary>Silencing needs a reason.</summary>
    NoReason,

    /// <summary>Shelved for longer than allowed, or for no time at all.</summary>
    ShelfTooLong,

    /// <summary>The alarm does not stand so that this could be done to it.</summary>
    WrongStanding,
}

/// <summary>One effect.</summary>
public readonly record struct Effect(EffectKind Kind)
{
    /// <summary>With <see cref="EffectKind.Lease"/>: the end of the permission.</summary>
    public MonotonicTime Until { get; init; }

    /// <summary>With <see cref="EffectKind.PhaseChanged"/>.</summary>
    public Phase Phase { get; init; }

    /// <summary>With a trip: its first cause.</summary>
    public Trip Trip { get; init; }

    /// <summary>With an alarm.</summary>
    public AlarmId Alarm { get; init; }

    /// <summary>With an alarm: where it stands now.</summary>
    public AlarmStanding Standing { get; init; }

    /// <summary>With an alarm: whether a person is called.</summary>
    public bool Calls { get; init; }

    /// <summary>With <see cref="EffectKind.DrawnOff"/>: how much.</summary>
    public Drawn Drawn { get; init; }

    /// <summary>With <see cref="EffectKind.Refused"/>: what was asked.</summary>
    public Verb Verb { get; init; }

    /// <summary>With <see cref="EffectKind.Refused"/>: why not.</summary>
    public Refusal Refusal { get; init; }
}

/// <summary>The effects of one cycle, in order. Big enough for every alarm at once; nothing is ever dropped.</summary>
public struct EffectBuffer
{
    private const int Capacity = 48;
    private Slots _slots;

    /// <summary>How many there are.</summary>
    public int Count { get; private set; }

    /// <summary>The effect at a place, 0 to <see cref="Count"/> − 1.</summary>
    public readonly Effect this[int index] => index < Count ? _slots[index] : throw new ArgumentOutOfRangeException(nameof(index));

    /// <summary>Goes through them, for a foreach.</summary>
    [UnscopedRef]
    public readonly ReadOnlySpan<Effect>.Enumerator GetEnumerator() => ((ReadOnlySpan<Effect>)_slots)[..Count].GetEnumerator();

    /// <summary>Whether one of them is of this kind.</summary>
    public readonly bool Has(EffectKind kind)
    {
        foreach (ref readonly var effect in this)
        {
            if (effect.Kind == kind)
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>Adds one.</summary>
    public void Add(in Effect effect) => _slots[Count++] = effect;

    /// <summary>Starts afresh.</summary>
    public void Clear() => Count = 0;

    [InlineArray(Capacity)]
    private struct Slots
    {
        private Effect _first;
    }
}
