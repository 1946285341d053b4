using Evenwater.Core;

namespace Evenwater.Hardware.Trace;

/// <summary>What a column of a trace holds.</summary>
internal enum ColumnKind
{
    Unknown,
    Time,
    Valve,
    Number,
    Switch,
}

/// <summary>The columns a trace may have, by the name in its header.</summary>
internal readonly record struct TraceColumn(string Name, ColumnKind Kind, Channel Channel)
{
    public const string TimeName = "t_s";
    public const string ValveName = "valve_open";

    public static TraceColumn Named(string name) => name switch
    {
        TimeName => new(name, ColumnKind.Time, default),
        ValveName => new(name, ColumnKind.Valve, default),
        "bucket_ec25_uScm" => new(name, ColumnKind.Number, Channel.VesselConductivity),
        "bucket_temp_C" => new(name, ColumnKind.Number, Channel.VesselTemperature),
        "tank_ec25_uScm" => new(name, ColumnKind.Number, Channel.TankConductivity),
        "tank_temp_C" => new(name, ColumnKind.Number, Channel.TankTemperature),
        "float_low" => new(name, ColumnKind.Switch, Channel.FloatLow),
        "float_high" => new(name, ColumnKind.Switch, Channel.FloatHigh),
        "leak" => new(name, ColumnKind.Switch, Channel.Leak),
        "drops" => new(name, ColumnKind.Number, Channel.Drops),
        "mass_kg" => new(name, ColumnKind.Number, Channel.Mass),
        "level_mm" => new(name, ColumnKind.Number, Channel.Level),
        _ => new(name, ColumnKind.Unknown, default),
    };
}
