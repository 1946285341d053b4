namespace Evenwater.HardwareTests.Circuit;

/// <summary>What the computer's pin does. The first six never hold the valve; of the pulsed ones, pulses come for two seconds and then what the name says.</summary>
internal enum Pin
{
    Low,
    High,
    Floating,
    FloatingPulledUp,
    TooSlow,
    SlowerStill,
    Pulsing,
    PulsedThenLow,
    PulsedThenHigh,
    PulsedThenFloating,
    PulsedThenPulledUp,
}

/// <summary>The float wired in series with the coil.</summary>
internal enum Float
{
    Dry,
    Wet,
    RisesAtTwoSeconds,
}

/// <summary>One thing to simulate.</summary>
/// <param name="Pin">What the pin does.</param>
/// <param name="Float">What the float does.</param>
/// <param name="Broken">The wire that is cut, or none.</param>
internal sealed record Situation(Pin Pin, Float Float, string? Broken = null)
{
    public bool IsPulsedAtFirst => Pin >= Pin.Pulsing;

    public override string ToString() => $"pin {Pin}, float {Float}, {Broken ?? "no wire"} broken";
}

/// <summary>What the coil's current did, A.</summary>
/// <param name="Situation">In which situation.</param>
/// <param name="Most">The most it ever was, power-up included.</param>
/// <param name="LeastWhilePulsed">The least of the second half second before the pulses end.</param>
/// <param name="MostLate">The most from two seconds after the pulses' end, or the float's rising, on.</param>
/// <param name="DropOutSeconds">From the pulses' end, or the float's rising, to the current's last fall through drop-out; null when there was none.</param>
/// <param name="ContactVolts">The most between the float's contacts, V.</param>
internal sealed record Outcome(
    Situation Situation, double Most, double LeastWhilePulsed, double MostLate, double? DropOutSeconds, double ContactVolts);
