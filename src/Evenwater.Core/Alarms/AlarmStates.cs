using System.Runtime.CompilerServices;

namespace Evenwater.Core.Alarms;

/// <summary>Where one alarm stands.</summary>
public struct AlarmState
{
    /// <summary>Up and told.</summary>
    public bool Raised;

    /// <summary>Seen by a person. Changes nothing else.</summary>
    public bool Acknowledged;

    /// <summary>Since when the condition has been different from what was told.</summary>
    public MonotonicTime ChangingSince;

    /// <summary>Whether it is.</summary>
    public bool Changing;

    /// <summary>When it came up.</summary>
    public MonotonicTime RaisedAt;
}

/// <summary>Where all alarms stand, by <see cref="AlarmId"/>.</summary>
[InlineArray(AlarmTable.Places)]
public struct AlarmStates
{
    private AlarmState _first;

    /// <summary>Takes the condition of one alarm and adds what changed to the effects.</summary>
    public void Step(AlarmId id, bool condition, MonotonicTime now, ref EffectBuffer effects)
    {
        ref var state = ref this[(int)id];
        if (condition == state.Raised)
        {
            state.Changing = false;
            return;
        }

        if (!state.Changing)
        {
            state.Changing = true;
            state.ChangingSince = now;
        }

        var row = AlarmTable.Of(id);
        if (now.SecondsSince(state.ChangingSince) < (condition ? row.OnDelaySeconds : row.OffDelaySeconds))
        {
            return;
        }

        state.Changing = false;
        state.Raised = condition;
        state.Acknowledged = false;
        if (condition)
        {
            state.RaisedAt = now;
        }

        effects.Add(new Effect(condition ? EffectKind.AlarmRaised : EffectKind.AlarmCleared) { Alarm = id });
    }

    /// <summary>A person has seen them all.</summary>
    public void Acknowledge()
    {
        for (var i = 0; i < AlarmTable.Places; i++)
        {
            this[i].Acknowledged = this[i].Raised;
        }
    }
}
