namespace Evenwater.Core.Alarms;

/// <summary>
/// All alarms in one table. Delays: "level 60 s" is ISA-18.2's starting value as quoted from memory; the others, the times to act and the re-alarm
/// times are common practice, no source. Limits that the station file sets are told as shares of their key.
/// </summary>
public static class AlarmTable
{
    private const string Shut = "The valve was closed and stays closed until you reset it.";

    /// <summary>A drip that very likely gives less than this share of what was measured has nearly stopped. Common practice, no source.</summary>
    public const double SlowShare = 0.3;

    /// <summary>It is warned of at this share of the risk that closes (<see cref="Safety.ClosingRisk"/>), and the warning looks five times as far ahead.</summary>
    public const double WarnShare = 0.25;

    private const string RiskUnit = "times the risk that closes: safety.tripProbability, a twentieth of it once the waters are even";

    private const double LevelDelaySeconds = 60;

    /// <summary>One forecast alone may be a whim of its probes; two in a row are news. There is one every 30 s. The closing does not wait.</summary>
    private const double ForecastDelaySeconds = 45;

    /// <summary>A tank is slow, and a probe may be in its bath or its cup, or water being changed, for half an hour. Common practice, no source.</summary>
    private const double TankDelaySeconds = 1800;

    /// <summary>How many places a table by <see cref="AlarmId"/> needs.</summary>
    public const int Places = 30;

    /// <summary>A trip closes, and tells why: what else changes with the closing needs no second call.</summary>
    private static readonly AlarmId[] s_trips =
    [
        AlarmId.HighFloat, AlarmId.Leak, AlarmId.SwitchLost, AlarmId.LogLost, AlarmId.OverflowForecast, AlarmId.Blind, AlarmId.TimeBudget,
        AlarmId.VolumeBudget, AlarmId.SourceDrawn, AlarmId.LivestockLimit,
    ];

    /// <summary>A log that can not be written says nothing of water that stands, and of animals in it.</summary>
    private static readonly AlarmId[] s_tripsButLog = [.. s_trips.Where(id => id != AlarmId.LogLost)];

    private static readonly AlarmId[] s_blinding = [.. s_trips, AlarmId.BoardMissing];

    /// <summary>Every alarm, by number.</summary>
    public static IReadOnlyList<Alarm> All { get; } =
    [
        new()
        {
            Id = AlarmId.HighFloat, Name = "high-float", Priority = Priority.Critical, Title = "The high float is wet",
            Consequence = "The vessel spills, and its animals with it.", Did = Shut,
            Act = "Look at the vessel: bail it below the float, or check the float's wire. Then reset; finish the run before you begin another.",
            ActWithinMinutes = 5, Setpoint = new(1, "float, 1 = wet"), OffDelaySeconds = LevelDelaySeconds, ReAlarmMinutes = 30, Latches = true, MayBeSilenced = false,
        },
        new()
        {
            Id = AlarmId.Leak, Name = "leak", Priority = Priority.Critical, Title = "Water on the floor",
            Consequence = "The floor and what stands on it are damaged; wet electrical parts can kill.",
            Did = "The valve is closed and stays closed until you reset it.", // with a run or without
            Act = "Keep away from wet electrical parts. Lift the intake out of the tank, find the leak, dry the sensor, then reset.",
            ActWithinMinutes = 5, Setpoint = new(1, "sensor, 1 = wet"), OffDelaySeconds = LevelDelaySeconds, ReAlarmMinutes = 30, Latches = true, MayBeSilenced = false,
        },
        new()
        {
            Id = AlarmId.SwitchLost, Name = "switch-lost", Priority = Priority.High, Title = "A float or the leak sensor gives no answer",
            Consequence = "The run stands still: no water may run in without its switches.", Did = Shut,
            Act = "Check its plug and wire, then reset and begin again.",
            ActWithinMinutes = 30, Setpoint = new(Screening.Screen.SwitchStaleSeconds, "s without an answer"), ReAlarmMinutes = 120,
        },
        new()
        {
            Id = AlarmId.LogLost, Name = "log-lost", Priority = Priority.High, Title = "The log can not be written",
            Consequence = "Nothing opens, and what happens is not kept.",
            Did = "The valve is closed and stays closed while it lasts, and in a run until you reset it.",
            Act = "Check the disk: full, worn, read-only, or the log's file moved away. In a run, then reset.",
            ActWithinMinutes = 60, Setpoint = new(1, "failed commit"), OffDelaySeconds = 60, ReAlarmMinutes = 120,
        },
        new()
        {
            Id = AlarmId.OverflowForecast, Name = "overflow-forecast", Priority = Priority.High, Title = "The vessel would soon have passed its mark",
            Consequence = "The animals stay in water that is not even, and use up its oxygen.", Did = Shut,
            Act = "Look at the vessel and go on by hand, or draw water off, reset, finish and begin a new run with what is left; the animals are not yet even unless the sentence says so.",
            ActWithinMinutes = 60, Setpoint = new(1, RiskUnit), ReAlarmMinutes = 120, MayBeSilenced = false,
        },
        new()
        {
            Id = AlarmId.Blind, Name = "blind", Priority = Priority.High, Title = "The probes no longer say enough to go on",
            Consequence = "The animals stay in water that is not even, and nobody knows how far.", Did = Shut,
            Act = "See whether the drip had stopped: a clog, a valve without power, a float in its supply that has risen. Check the vessel's probe: in the water, no bubble, plug dry. Then reset and begin again.",
            ActWithinMinutes = 60, Setpoint = new(Safety.TripCause.EvaluationStaleSeconds, "s without a forecast"), ReAlarmMinutes = 120,
        },
        new()
        {
            Id = AlarmId.TimeBudget, Name = "time-budget", Priority = Priority.Medium, Title = "The drip has run for as long as allowed",
            Consequence = "The animals stay in water that may not be even.", Did = Shut,
            Act = "Look at the vessel and the drip rate. If it is still not even: reset, finish, and begin a new run with the volume as it is.",
            ActWithinMinutes = 60, Setpoint = new(1, "times safety.maxOpenMinutes"), ReAlarmMinutes = 240,
        },
        new()
        {
            Id = AlarmId.VolumeBudget, Name = "volume-budget", Priority = Priority.Medium, Title = "As much water as allowed has run in",
            Consequence = "The animals stay in water that may not be even.", Did = Shut,
            Act = "Look at the vessel. To go on: draw water off, reset, finish, and begin a new run with what is left.",
            ActWithinMinutes = 60, Setpoint = new(1, "times safety.maxInflowLitres"), ReAlarmMinutes = 240,
        },
        new()
        {
            Id = AlarmId.SourceDrawn, Name = "source-drawn", Priority = Priority.Medium, Title = "The tank has given as much water as allowed",
            Consequence = "Heater and filter of the tank run dry.", Did = Shut,
            Act = "Check that heater and filter are covered and refill the tank with matched water.",
            ActWithinMinutes = 60, Setpoint = new(1, "times source.maxDrawLitres"), ReAlarmMinutes = 240,
        },
        new()
        {
            Id = AlarmId.LivestockLimit, Name = "livestock-limit", Priority = Priority.High, Title = "The water changes faster or further than the animals' limit",
            Consequence = "The animals are shocked by the change.", Did = Shut,
            Act = "Look at the animals. Too fast: slow the drip before you begin again. Too far: leave them so and go on another day.",
            ActWithinMinutes = 30, Setpoint = new(1, "times a limit of the station's limits"), ReAlarmMinutes = 120,
        },
        new()
        {
            Id = AlarmId.OverflowWarning, Name = "overflow-warning", Priority = Priority.High, Title = "The vessel comes near its mark while the drip runs",
            Consequence = "The valve closes before the mark, and the waters are not even then.",
            Did = "Still dripping; the valve closes by itself before the mark.", Act = "Slow the drip, draw water off, or close it now.",
            ActWithinMinutes = 10, Setpoint = new(WarnShare, RiskUnit, Deadband: 0.125), OnDelaySeconds = ForecastDelaySeconds, OffDelaySeconds = 120,
            ReAlarmMinutes = 60, MayBeSilenced = false, SuppressedBy = s_trips,
        },
        new()
        {
            Id = AlarmId.ProbeTrouble, Name = "probe-trouble", Priority = Priority.Medium, Title = "A probe is not believed",
            Consequence = "The ranges widen; without the vessel's probe the valve closes, and calls again, after ten minutes, or within two hours where the animals have no limit for conductivity and the flow is known, the water weighed or its level measured.",
            Did = "The forecast goes on without it, with a wider range.", Act = "Check that the probe is in the water, without bubbles, and plugged in.",
            ActWithinMinutes = 60, Setpoint = new(1, "probe without a good reading"), OnDelaySeconds = 60, OffDelaySeconds = 60, ReAlarmMinutes = 240, SuppressedBy = s_blinding,
        },
        new()
        {
            Id = AlarmId.DripStopped, Name = "drip-stopped", Priority = Priority.Medium, Title = "The drip stands still and the waters are not even",
            Consequence = "The animals stay in water that is not even, and use up its oxygen.", Did = "The valve is closed.",
            Act = "Go on with the run ('evenwater begin'), or let the animals in ('evenwater finish'). Animals in a still vessel use up its oxygen.",
            ActWithinMinutes = 60, Setpoint = new(60, "s closed before even"), OnDelaySeconds = 60, ReAlarmMinutes = 240, SuppressedBy = s_trips,
        },
        new()
        {
            Id = AlarmId.FlowWhileClosed, Name = "flow-while-closed", Priority = Priority.Critical, Title = "Water runs although the valve is closed",
            Consequence = "The vessel fills until it spills; nothing but a hand can stop it.", Did = "Closing the valve can not stop this; it opens for nothing but a drip that is under way.",
            Act = "Lift the intake out of the tank or clamp the tube by hand. When the valve holds again, reset.",
            ActWithinMinutes = 5, Setpoint = new(1, "leak recognised"), ReAlarmMinutes = 30, Latches = true, MayBeSilenced = false,
        },
        new()
        {
            Id = AlarmId.DripSlow, Name = "drip-slow", Priority = Priority.Medium, Title = "The drip has nearly stopped and the waters are not even",
            Consequence = "The waters are not even by morning.", Did = "The valve is open; nothing was changed.",
            Act = "Look for a clog or a bubble in the tube, at the tank's level, whether the valve has power, and whether the water has raised the float in its supply.",
            ActWithinMinutes = 60, Setpoint = new(SlowShare, "of the drip as measured", Deadband: 0.3), OnDelaySeconds = 300, OffDelaySeconds = 300,
            ReAlarmMinutes = 240, SuppressedBy = s_trips,
        },
        new()
        {
            Id = AlarmId.ProbesSwapped, Name = "probes-swapped", Priority = Priority.Medium, Title = "The two conductivity probes hang in each other's water",
            Consequence = "The forecast goes on with an assumption that only you can check.", Did = "Their readings are exchanged until you exchange the probes.",
            Act = "Put each probe into its own water. The program notices within minutes; when it does not, finish the run and begin another with the volume as it is.",
            ActWithinMinutes = 60, Setpoint = new(1, "swap recognised"), OffDelaySeconds = 60, ReAlarmMinutes = 240, SuppressedBy = s_trips,
        },
        new()
        {
            Id = AlarmId.ProofOverdue, Name = "proof-overdue", Priority = Priority.Low, Title = "The proof test is overdue",
            Consequence = "A float that hangs or a welded contact is found only when it is needed.", Did = "Nothing was closed or changed.",
            Act = "Before the next night try every part beside the station: 'evenwater check --proof'.",
            ActWithinMinutes = 1440, Setpoint = new(1, "times proof.everyDays"), ReAlarmMinutes = 1440,
        },
        new()
        {
            Id = AlarmId.SendingRefused, Name = "sending-refused", Priority = Priority.Low, Title = "Not all that is recorded reaches the database or the broker",
            Consequence = "The database, and who listens to the broker, miss readings. The log here has all that was refused; of what had to make room before it was sent it has the minutes.", Did = "Nothing was closed or changed.",
            Act = "Read the event 'refused', 'not-sent' or 'not-told': it gives the reason. A wrong token, bucket or address: correct the daemon's file and start it again. Single entries: mend what the reason names. Readings that had to make room: give the log more (store.budgetMegabytes, or the disk), and see that the server is not away for so long.",
            ActWithinMinutes = 1440, Setpoint = new(1, "refusal, or gap in what was sent"), ReAlarmMinutes = 1440,
        },
        new()
        {
            Id = AlarmId.WeeklyTest, Name = "weekly-test", Priority = Priority.Low, Title = "This is a test of the alarms; nothing is wrong",
            Consequence = "Nothing: it is a test. Where it does not arrive, a real alarm does not arrive either.", Did = "Nothing was closed or changed; it clears by itself.",
            Act = "Nothing but notice that it came. In a week when it does not come, look for what is broken between here and you.",
            ActWithinMinutes = 1440, Setpoint = new(7, "days since the last"), ReAlarmMinutes = 1440, IsTest = true,
        },
        new()
        {
            Id = AlarmId.DiskShort, Name = "disk-short", Priority = Priority.Low, Title = "The disk is filling up",
            Consequence = "When it is full the oldest readings go, and what else runs on this computer may stop.", Did = "Nothing was closed or changed.",
            Act = "Make room: 'df -h' shows which disk, 'du -xh / | sort -h' what takes it. The log itself takes no more than store.budgetMegabytes.",
            ActWithinMinutes = 1440, Setpoint = new(DiskRooms.ShortMegabytes, "MB free", DiskRooms.Deadband * DiskRooms.ShortMegabytes), OnDelaySeconds = 60, OffDelaySeconds = 60,
            ReAlarmMinutes = 1440, SuppressedBy = [AlarmId.DiskNearlyFull],
        },
        new()
        {
            Id = AlarmId.DiskNearlyFull, Name = "disk-nearly-full", Priority = Priority.Medium, Title = "The disk is nearly full",
            Consequence = "When it is full the valve closes until the log has made room by letting the oldest readings go.",
            Did = "For this alone nothing is closed; a log that can not be written closes, and calls for itself.",
            Act = "Make room now: 'df -h' shows which disk, 'du -xh / | sort -h' what takes it.",
            ActWithinMinutes = 60, Setpoint = new(DiskRooms.NearlyFullMegabytes, "MB free", DiskRooms.Deadband * DiskRooms.NearlyFullMegabytes), OnDelaySeconds = 60, OffDelaySeconds = 60,
            ReAlarmMinutes = 240,
        },
        new()
        {
            Id = AlarmId.TankConductivity, Name = "tank-conductivity", Priority = Priority.Low, Title = "The tank's conductivity is beyond your limits",
            Consequence = "The tank's water has become another than you want for its animals.", Did = "Nothing was closed or changed.",
            Act = "'evenwater tank' shows since when and what else moved. Look whether the probe hangs free in the water; then change water, or see to the top-off.",
            ActWithinMinutes = 1440, Setpoint = new(1, "of tank.minMicrosiemensPerCm or tank.maxMicrosiemensPerCm", Deadband: 0.01), OnDelaySeconds = TankDelaySeconds,
            OffDelaySeconds = TankDelaySeconds, ReAlarmMinutes = 1440,
        },
        new()
        {
            Id = AlarmId.TankTemperature, Name = "tank-temperature", Priority = Priority.Medium, Title = "The tank's temperature is beyond your limits",
            Consequence = "A heater that hangs cooks the tank, one that is dead lets it cool: within hours.", Did = "Nothing was closed or changed.",
            Act = "Look at the heater and its cut-out, the lamp and the room; unplug the heater before your hand goes in. Look whether the thermometer hangs in the water.",
            ActWithinMinutes = 60, Setpoint = new(0, "°C beyond tank.minCelsius or tank.maxCelsius", Deadband: 0.2), OnDelaySeconds = TankDelaySeconds,
            OffDelaySeconds = TankDelaySeconds, ReAlarmMinutes = 240,
        },
        new()
        {
            Id = AlarmId.RoutineOverdue, Name = "routine-overdue", Priority = Priority.Low, Title = "Something of your routine is overdue",
            Consequence = "What you meant to do again and again is not done, or is not in the book; a probe that is not calibrated again drifts unseen.", Did = "Nothing was closed or changed.",
            Act = "'evenwater tank' tells what, 'evenwater check' which calibration. Do it and note it ('evenwater journal --add', 'evenwater calibrate'), or change 'routine' in the station file.",
            ActWithinMinutes = 1440, Setpoint = new(1, "task overdue by a tenth of its dueEveryDays, and by 12 h at least, or calibration past its due date"), ReAlarmMinutes = 1440,
        },
        new()
        {
            Id = AlarmId.NoLongerEven, Name = "no-longer-even", Priority = Priority.Medium, Title = "The waters were even and are no longer",
            Consequence = "The animals go from one water into another all the same, the more so the longer they wait.", Did = "The valve is closed.",
            Act = "Let the animals in soon if the difference is small, or warm or cool the vessel towards the tank, or begin again to drip on: 'evenwater begin'.",
            ActWithinMinutes = 60, Setpoint = new(Waiting.EvenStill.Doubtful, "or less likely even; or temperatures apart by the tolerance and 0.2 °C", Deadband: 0.3), OnDelaySeconds = 300, OffDelaySeconds = 300,
            ReAlarmMinutes = 240, SuppressedBy = s_tripsButLog,
        },
        new()
        {
            Id = AlarmId.ReleaseDue, Name = "release-due", Priority = Priority.Medium, Title = "The animals have waited in still water for nearly as long as they should",
            Consequence = "The oxygen runs low, or the vessel drifts away from the tank.", Did = "The valve is closed; nothing here can stir or aerate.",
            Act = "Let them in: 'evenwater finish' goes through it step by step, after a trip once it is reset. If they must stay, stir air into the vessel by an air stone or by hand.",
            ActWithinMinutes = 60, Setpoint = new(Waiting.Waits.CallMinutes, "min before the release-by time", Deadband: 15), OnDelaySeconds = 60, OffDelaySeconds = 60,
            ReAlarmMinutes = 60,
        },
        new()
        {
            Id = AlarmId.OutcomeDue, Name = "outcome-due", Priority = Priority.Low, Title = "Animals that came are to be looked at and counted",
            Consequence = "What a night did to them stays unknown: most of it shows within a week.", Did = "Nothing was closed or changed.",
            Act = "Look at them and note it: 'evenwater arrival' tells which look is due and how to note it.",
            ActWithinMinutes = 1440, Setpoint = new(1, "look due"), ReAlarmMinutes = 1440,
        },
        new()
        {
            Id = AlarmId.TankUnwatched, Name = "tank-unwatched", Priority = Priority.Low, Title = "A probe that your limits of the tank go by gives no good reading",
            Consequence = "A heater that hangs, or water that is not what you want, goes unnoticed: beyond that limit nobody is called.", Did = "Nothing was closed or changed.",
            Act = "Check that the probe is in the tank and plugged in: 'evenwater check' tells which one, and why. If it is to stay out, take its limits out of the station file.",
            ActWithinMinutes = 1440, Setpoint = new(TankDelaySeconds, "s without a good reading"), OnDelaySeconds = TankDelaySeconds, OffDelaySeconds = 60, ReAlarmMinutes = 1440,
            SuppressedBy = [AlarmId.BoardMissing],
        },
        new()
        {
            Id = AlarmId.BoardMissing, Name = "board-missing", Priority = Priority.Medium, Title = "The station's board can not be opened",
            Consequence = "Nobody watches this station: no probe, no float and no leak sensor answers, and no run goes on.",
            Did = "Its valve is not opened: without pulses the driver keeps it shut. It is tried again every 10 s; other stations go on.",
            Act = "'evenwater check' tells what is missing (GPIO chip, a line, I2C bus, a right) and what to do. Look at the vessel meanwhile, if there are animals in it.",
            ActWithinMinutes = 60, Setpoint = new(1, "board that can not be opened"), OnDelaySeconds = 60, ReAlarmMinutes = 240,
        },
    ];

    /// <summary>Every alarm, those that explain others before those they explain: they are stepped in this order.</summary>
    public static IReadOnlyList<AlarmId> Order { get; } = [.. All.OrderBy(row => row.SuppressedBy.Count > 0).Select(row => row.Id)];

    /// <summary>The row of one alarm.</summary>
    public static Alarm Of(AlarmId id) => All[(int)id - 1];

    /// <summary>The row of a name, or null.</summary>
    public static Alarm? Named(string? name) => All.FirstOrDefault(row => row.Name == name);
}
