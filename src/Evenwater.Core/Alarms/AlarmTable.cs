namespace Evenwater.Core.Alarms;

/// <summary>How soon a person must act.</summary>
public enum Priority : byte
{
    /// <summary>Within the day.</summary>
    Low,

    /// <summary>Within the hour.</summary>
    Medium,

    /// <summary>Within minutes.</summary>
    High,

    /// <summary>Now.</summary>
    Critical,
}

/// <summary>One alarm: what is wrong, what the program did, what the person should do, and how soon.</summary>
/// <param name="Id">Which.</param>
/// <param name="Name">Its topic name.</param>
/// <param name="Priority">How soon, in words.</param>
/// <param name="Title">What is happening.</param>
/// <param name="Did">What the program did.</param>
/// <param name="Act">What the person should do.</param>
/// <param name="ActWithinMinutes">By when, min.</param>
/// <param name="OnDelaySeconds">The condition must last this long, s.</param>
/// <param name="OffDelaySeconds">And be gone this long, s.</param>
public sealed record Alarm(
    AlarmId Id, string Name, Priority Priority, string Title, string Did, string Act, int ActWithinMinutes,
    double OnDelaySeconds = 0, double OffDelaySeconds = 0);

/// <summary>All alarms in one table. Trips close at once, whatever the delays here say.</summary>
public static class AlarmTable
{
    private const string Shut = "The valve was closed and stays closed until you reset it.";

    /// <summary>How many places a table by <see cref="AlarmId"/> needs.</summary>
    public const int Places = 16;

    /// <summary>Every alarm, by number.</summary>
    public static IReadOnlyList<Alarm> All { get; } =
    [
        new(AlarmId.HighFloat, "high-float", Priority.Critical, "The high float is wet",
            Shut, "Look at the vessel: bail it below the float, or check the float's wire. Then reset; finish the run before you begin another.", 5),
        new(AlarmId.Leak, "leak", Priority.Critical, "Water on the floor",
            Shut, "Keep away from wet electrical parts. Lift the intake out of the tank, find the leak, dry the sensor, then reset.", 5),
        new(AlarmId.SwitchLost, "switch-lost", Priority.High, "A float or the leak sensor gives no answer",
            Shut, "Check its plug and wire, then reset and begin again.", 30),
        new(AlarmId.LogLost, "log-lost", Priority.High, "The log can not be written",
            Shut, "Check the disk: full, worn or read-only. Then reset.", 60),
        new(AlarmId.OverflowForecast, "overflow-forecast", Priority.High, "The vessel would soon have passed its mark",
            Shut, "Look at the vessel and go on by hand, or draw water off, reset, finish and begin a new run with what is left; the animals are not yet even unless the sentence says so.", 60),
        new(AlarmId.Blind, "blind", Priority.High, "The probes no longer say enough to forecast",
            Shut, "Check the vessel's probe: in the water, no bubble, plug dry. Then reset and begin again.", 60),
        new(AlarmId.TimeBudget, "time-budget", Priority.Medium, "The drip has run for as long as allowed",
            Shut, "Look at the vessel and the drip rate. If it is still not even: reset, finish, and begin a new run with the volume as it is.", 60),
        new(AlarmId.VolumeBudget, "volume-budget", Priority.Medium, "As much water as allowed has run in",
            Shut, "Look at the vessel. To go on: draw water off, reset, finish, and begin a new run with what is left.", 60),
        new(AlarmId.SourceDrawn, "source-drawn", Priority.Medium, "The tank has given as much water as allowed",
            Shut, "Check that heater and filter are covered and refill the tank with matched water.", 60),
        new(AlarmId.LivestockLimit, "livestock-limit", Priority.High, "The water changes faster than the animals' limit",
            Shut, "Look at the animals. Slow the drip before you begin again.", 30),
        new(AlarmId.OverflowWarning, "overflow-warning", Priority.High, "The vessel comes near its mark while the drip runs",
            "Still dripping; the valve closes by itself before the mark.", "Slow the drip, draw water off, or close it now.", 15, 0, 120),
        new(AlarmId.ProbeTrouble, "probe-trouble", Priority.Medium, "A probe is not believed",
            "The forecast goes on without it, with a wider range.", "Check that the probe is in the water, without bubbles, and plugged in.", 60, 60, 60),
        new(AlarmId.DripStopped, "drip-stopped", Priority.Medium, "The drip stands still and the waters are not even",
            "The valve is closed.", "Begin again, or release by hand. Animals in a still vessel use up its oxygen.", 60, 60),
        new(AlarmId.FlowWhileClosed, "flow-while-closed", Priority.Critical, "Water runs although the valve is closed",
            "The valve is held closed; closing can not stop this.", "Lift the intake out of the tank or clamp the tube by hand.", 5),
        new(AlarmId.DripSlow, "drip-slow", Priority.Medium, "The drip has nearly stopped and the waters are not even",
            "The valve is open; nothing was changed.", "Look for a clog or a bubble in the tube, and at the tank's level.", 60, 300, 300),
    ];

    /// <summary>The row of one alarm.</summary>
    public static Alarm Of(AlarmId id) => All[(int)id - 1];
}
