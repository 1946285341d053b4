using Evenwater.Core.Mixing;
using Evenwater.Core.Pacing;
using Evenwater.Core.Stations;
using Evenwater.CoreTests.Stations;

namespace Evenwater.CoreTests.Pacing;

/// <summary>How fast a paced run may go, and where that takes a stirred vessel, by the closed forms.</summary>
public class PacedCourseTests
{
    private const double Never = double.PositiveInfinity;

    // 1.6 L of 410 µS/cm and 19.5 °C, 225 and 3.5 from the tank's.
    private static PacedCourse Pail(double litresPerHour, Pace pace, double standpipe = 0) => new()
    {
        MostLitresPerHour = litresPerHour, Pace = pace, TankMicrosiemensPerCm = 185, TankCelsius = 23, Litres = 1.6, MicrosiemensPerCm = 410, Celsius = 19.5, StandpipeLitres = standpipe,
        FromMicrosiemensPerCm = 410, FromCelsius = 19.5,
    };

    [Theory] // nothing holds it back: 40 of 225 left in 225 x 1.6 / 40 - 1.6 = 7.4 L. A hundred an hour: the drip's first 7.4 L/h are 1040 an hour, so it is 185 / 100 h. At a standpipe e^(-V/1.6) = 40 / 225 after 2.76 L
    [InlineData(0.9, Never, 0, 7.4 / 0.9)]
    [InlineData(50, 100, 0, 1.85)]
    [InlineData(50, 100, 1.6, 1.85)]
    [InlineData(0.9, Never, 1.6, 2.7636 / 0.9)]
    public void Conductivity_goes_by_its_rate_or_by_the_drip_whichever_is_slower(double drip, double perHour, double standpipe, double hours)
    {
        var course = Pail(drip, new Pace(perHour, Never, Never, Never), standpipe);
        Assert.Equal(hours, course.GoUntilEven(40, 48), 0.02 * hours);
        Assert.Equal(225, course.MicrosiemensPerCm, 1.0);
        Assert.Equal(standpipe > 0 ? 1.6 : 9, course.Litres, 0.05);
    }

    [Fact] // the drip sets the pace from where 0.9 L/h are less than is allowed: r V / d with V d = 360: V² = 0.9 x 360 / 100, V = 1.8 L and d = 200, after 0.25 h; 7.2 L more at 0.9 L/h
    public void A_fill_begins_by_the_rate_and_goes_on_by_the_drip()
    {
        var course = Pail(0.9, new Pace(100, Never, Never, Never));
        Assert.Equal(0.25 + 8, course.GoUntilEven(40, 48), 0.03);
        Assert.Equal(7.4, course.InflowLitres, 0.05);
    }

    [Fact] // 1 °C an hour over 3.5, and of conductivity with the same water as much: 225 x 0.5 / 3.5 left after 3 h
    public void Temperature_holds_the_conductivity_back_as_well()
    {
        var course = Pail(50, new Pace(Never, 1, Never, Never));
        Assert.Equal(3, course.GoUntilEven(225 * 0.5 / 3.5, 48), 0.05);
        Assert.Equal(22.5, course.Celsius, 0.05);
    }

    [Fact] // 8.8 L at 0.9 L/h; and no further than asked
    public void It_is_full_when_the_drip_has_filled_it_and_stops_where_it_is_told_to()
    {
        var pace = new Pace(Never, Never, Never, Never);
        var (course, stopped) = (Pail(0.9, pace), Pail(0.9, pace));
        Assert.Equal(8.8 / 0.9, course.GoUntilFull(10.4, 48), 0.05);
        Assert.Equal(10.4, course.Litres, 0.05);
        Assert.Equal(Never, stopped.GoUntilFull(10.4, 5));
        Assert.Equal(5, stopped.Hours, 1e-5);
        Assert.Equal(1.6 + (5 * 0.9), stopped.Litres, 1e-5);
    }

    [Fact] // 1.6 L at 1.2 W/K: 1.6 x 1.15805 / 1.2 = 1.544 h, after which 1/e of 3.5 °C is left
    public void Without_a_drip_it_drifts_to_the_room()
    {
        var course = Pail(0, new Pace(Never, Never, Never, Never)) with { Room = new HeatExchange(1.2, 16) };
        Assert.Equal(Never, course.GoUntilFull(2, 1.6 * 1.15805 / 1.2));
        Assert.Equal(16 + (3.5 / Math.E), course.Celsius, 0.01);
        Assert.Equal((1.6, 410.0), (course.Litres, course.MicrosiemensPerCm));
    }

    [Fact] // the room alone, of the tank's 23 °C, brings 1.2 / 1.158 = 1.036 L/h's worth: 3.63 °C in the first hour, more than may be: nothing comes in. From a room of 19.5 °C on it brings nothing
    public void What_the_room_brings_is_taken_off_what_may_come_in()
    {
        var pace = new Pace(Never, 1, Never, Never);
        Assert.Equal(0, (Pail(50, pace) with { Room = new HeatExchange(2.5, 23) }).LitresPerHour);
        Assert.Equal(1.6 / 3.5, (Pail(50, pace) with { Room = new HeatExchange(2.5, 19.5) }).LitresPerHour, 1e-9);
        Assert.Equal(1.6 / 3.5, (Pail(50, pace) with { Celsius = 26.5 }).LitresPerHour, 1e-9); // down as well as up
        Assert.Equal(50, (Pail(50, pace) with { Celsius = 23 }).LitresPerHour);
        Assert.Equal((1.6 + (1.2 / 1.15805 * 3.5)) / 3.5, (Pail(50, pace) with { Room = new HeatExchange(1.2, 16) }).LitresPerHour, 1e-9); // a colder room takes some of it
    }

    [Theory] // it ends 100 from where it began, or 2 °C; where the tank lies nearer than that nothing ends, and 10 from the tank are 215 at 100 an hour
    [InlineData(100, Never, 100)]
    [InlineData(Never, 2, 225 * 2 / 3.5)]
    [InlineData(226, 3.6, 215)]
    public void It_goes_no_further_than_a_whole_run_may(double total, double totalCelsius, double reached)
    {
        var course = Pail(5000, new Pace(100, Never, total, totalCelsius));
        Assert.Equal(reached < 215 ? Never : 2.15, course.GoUntilEven(10, 20), 0.03);
        Assert.Equal(reached, 410 - course.MicrosiemensPerCm, 2.0);
    }

    [Theory] // the tank may be stronger and warmer, or weaker and colder
    [InlineData(410, 185, 19.5, 23)]
    [InlineData(185, 410, 23, 19.5)]
    public void A_line_over_so_many_hours_is_that_of_what_has_further_to_go(double from, double to, double fromCelsius, double toCelsius)
    {
        Station Paced(double? hours, double tolerance) => River.With(match: m => m with { ToleranceMicrosiemensPerCm = tolerance, TemperatureToleranceCelsius = 1.5 }) with
        {
            Pacing = new() { Path = PacePath.Line, OverHours = hours, ShareOfLimit = 0.8 }, Limits = new() { MicrosiemensPerCmPerHour = 150, CelsiusPerHour = 2.5, TotalCelsius = 3 },
        };
        Pace Of(double? hours, double tolerance) => Pace.Of(Paced(hours, tolerance), from, to, fromCelsius, toCelsius);

        // Eight tenths of the limits; of a whole run's conductivity there is none.
        Assert.Equal(new Pace(120, 2, Never, 0.8 * 3), Of(null, 40));

        // 225 within 40 are 5.6 tolerances, 3.5 within 1.5 °C 2.3: conductivity leads, in five hours by 45 an hour, in one by its limit.
        Assert.Equal(new Pace(45, 2, Never, 0.8 * 3), Of(5, 40));
        Assert.Equal(120, Of(1, 40).MicrosiemensPerCmPerHour);

        // 225 within 100 are 2.25 tolerances: temperature leads, in five hours by 0.7 °C an hour, in one by its limit.
        Assert.Equal(120, Of(5, 100).MicrosiemensPerCmPerHour);
        Assert.Equal(0.7, Of(5, 100).CelsiusPerHour, 1e-12);
        Assert.Equal(2, Of(1, 100).CelsiusPerHour);

        // Alike there is nothing to lead, and yet a rate above nothing.
        Assert.InRange(Pace.Of(Paced(5, 40), from, from, fromCelsius, fromCelsius).MicrosiemensPerCmPerHour, double.Epsilon, 0.001);
    }
}
