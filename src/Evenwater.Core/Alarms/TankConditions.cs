namespace Evenwater.Core.Alarms;

/// <summary>Whether the tank is beyond the keeper's own limits. Null while it can not be told.</summary>
internal static class TankConditions
{
    public static bool? Conductivity(StationState state)
    {
        var (least, most) = (state.Station.Tank.MinMicrosiemensPerCm, state.Station.Tank.MaxMicrosiemensPerCm);
        var back = Back(AlarmId.TankConductivity, state);
        return Beyond(state.Readings[Channel.TankConductivity], least + Room(least * back, least, most), most - Room(most * back, least, most));
    }

    public static bool? Temperature(StationState state)
    {
        var (least, most) = (state.Station.Tank.MinCelsius, state.Station.Tank.MaxCelsius);
        var back = Room(Back(AlarmId.TankTemperature, state), least, most);
        return Beyond(state.Readings[Channel.TankTemperature], least + back, most - back);
    }

    /// <summary>Whether there is a limit that no good reading is held against.</summary>
    public static bool Unwatched(StationState state)
    {
        var (tank, readings) = (state.Station.Tank, state.Readings);
        return ((tank.MinMicrosiemensPerCm ?? tank.MaxMicrosiemensPerCm) is not null && !readings[Channel.TankConductivity].IsGood)
            || ((tank.MinCelsius ?? tank.MaxCelsius) is not null && !readings[Channel.TankTemperature].IsGood);
    }

    /// <summary>How far it must come back; nothing before it was beyond.</summary>
    private static double Back(AlarmId id, StationState state) => state.AlarmOf(id).Active ? AlarmTable.Of(id).Setpoint.Deadband : 0;

    /// <summary>No more than a quarter of what lies between the limits: between two that are near each other nothing would ever have come back.</summary>
    private static double? Room(double? back, double? least, double? most) => most - least is { } between && between / 4 < back ? between / 4 : back;

    private static bool? Beyond(in Reading reading, double? least, double? most) =>
        (least is null && most is null) || reading.Reason == Reason.NotFitted ? false
        : reading.TryGet(out var value) ? value < least || value > most
        : null;
}
