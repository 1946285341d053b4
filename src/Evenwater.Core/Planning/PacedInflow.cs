using Evenwater.Core.Estimation;
using Evenwater.Core.Mixing;
using Evenwater.Core.Pacing;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>What a paced station lets in of its drip at each moment of a plan, for its pulses taken together: by the same rule as the paced course.</summary>
internal readonly struct PacedInflow
{
    /// <summary>First step, h, and by what share of the time so far it may grow.</summary>
    private const double StepHours = 1.0 / 60;

    /// <inheritdoc cref="StepHours"/>
    private const double StepsSoFar = 100;

    /// <summary>In one step no more than this share of the vessel comes in.</summary>
    private const double MostShare = 0.01;

    /// <summary>The longest step, h.</summary>
    internal const double LongestHours = 1.0 / 6;

    private readonly Station _station;
    private readonly Pace? _pace;

    private PacedInflow(Station station, Pace? pace) => (_station, _pace) = (station, pace);

    /// <summary>Whether the valve rests at all.</summary>
    public bool Rests => _pace is not null;

    public static PacedInflow Of(Station station)
    {
        var waters = station.Waters;
        return new(station, station.Pacing is null ? null
            : Pace.Of(station, waters.BagMicrosiemensPerCm, waters.TankMicrosiemensPerCm, waters.BagTemperatureCelsius, waters.TankTemperatureCelsius));
    }

    /// <summary>Of a drip of <paramref name="litresPerHour"/>, how much comes in now, L/h: 0 where the run has gone as far as it may.</summary>
    public double LitresPerHour(in CourseAt now, double litresPerHour)
    {
        if (_pace is not { } pace) return litresPerHour;
        var (waters, vessel) = (_station.Waters, _station.Vessel);
        if (Math.Abs(now.MicrosiemensPerCm - waters.BagMicrosiemensPerCm) >= pace.TotalMicrosiemensPerCm || Math.Abs(now.Celsius - waters.BagTemperatureCelsius) >= pace.TotalCelsius) return 0;
        // What evaporation takes is as if the room were colder.
        var room = new HeatExchange(vessel.HeatExchangeWattsPerKelvin, _station.Room.TemperatureCelsius);
        var cooled = _station.Evaporation.MillilitresPerHour / 1000 * HeatExchange.EvaporationKelvin / room.LitresPerHour;
        return new PacedCourse
        {
            MostLitresPerHour = litresPerHour,
            Pace = pace,
            TankMicrosiemensPerCm = waters.TankMicrosiemensPerCm,
            TankCelsius = waters.TankTemperatureCelsius,
            Room = room with { RoomCelsius = room.RoomCelsius - cooled },
            StandpipeLitres = vessel.Mode == VesselMode.Standpipe ? vessel.StandpipeLitres ?? 0 : 0,
            Litres = now.Litres,
            MicrosiemensPerCm = now.MicrosiemensPerCm,
            Celsius = now.Celsius,
        }.LitresPerHour;
    }

    /// <summary>How long that holds, h. Where the drip is let in as it comes nothing is to be followed so closely: the closed form has it.</summary>
    public static double StepFor(in CourseAt now, double litresPerHour, double drip)
        => Math.Min(Math.Min(Math.Max(StepHours, now.Hours / StepsSoFar), LongestHours), litresPerHour < drip ? MostShare * now.Litres / Math.Max(litresPerHour, 1e-9) : double.PositiveInfinity);
}
