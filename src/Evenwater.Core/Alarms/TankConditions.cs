namespace Evenwater.Core.Alarms;

/// <summary>Whether the tank is beyond the keeper's own limits. Null while it can not be told.</summary>
internal static class TankConditions
{
    public static bool? Conductivity(StationState state)
    {
        var tank = state.Station.Tank;
        var back = Back(AlarmId.TankConductivity, state);
        return Beyond(state.Readings[Channel.TankConductivity], tank.MinMicrosiemensPerCm * (1 + back), tank.MaxMicrosiemensPerCm * (1 - back));
    }

    public static bool? Temperature(StationState state)
    {
        var tank = state.Station.Tank;
        var back = Back(AlarmId.TankTemperature, state);
        return Beyond(state.Readings[Channel.TankTemperature], tank.MinCelsius + back, tank.MaxCelsius - back);
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

    private static bool? Beyond(in Reading reading, double? least, double? most) =>
        (least is null && most is null) || reading.Reason == Reason.NotFitted ? false
        : reading.TryGet(out var value) ? value < least || value > most
        : null;
}
