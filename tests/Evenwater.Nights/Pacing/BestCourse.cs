namespace Evenwater.Nights.Pacing;

/// <summary>What the optimiser is told of a night.</summary>
/// <param name="StartLitres">The first water, L.</param>
/// <param name="Apart">How far the two conductivities are apart at first, µS/cm.</param>
/// <param name="Tolerance">What counts as even, µS/cm.</param>
/// <param name="StartCelsius">The first water, °C.</param>
/// <param name="TankCelsius">The tank, °C.</param>
/// <param name="RoomCelsius">The room, °C.</param>
/// <param name="RoomLitresPerHour">Exchange with the room, as a flow, L/h.</param>
/// <param name="MostPerHour">Conductivity may change by so much, µS/cm per hour.</param>
/// <param name="MostCelsiusPerHour">Temperature may, °C per hour.</param>
internal sealed record BestCase(
    double StartLitres, double Apart, double Tolerance, double StartCelsius, double TankCelsius, double RoomCelsius, double RoomLitresPerHour,
    double MostPerHour, double MostCelsiusPerHour);

/// <summary>
/// The fastest way to the match that keeps to the limits, found by dynamic programming (Bellman 1957, "Dynamic Programming": backward recursion on a grid of states, bilinear
/// between the grid's points). It knows the whole night's drip beforehand, knows no rule of pacing, and shares no code with it: time goes backward, and of what breaks no limit
/// every share is tried.
/// </summary>
internal sealed class BestCourse
{
    private const double StepHours = 1.0 / 30;
    private const int Volumes = 140;
    private const int Temperatures = 21;
    private const int Shares = 12;
    private const int Halvings = 20;

    private readonly BestCase _case;
    private readonly Func<double, double> _litresPerHour;
    private readonly double[,] _limits = new double[Volumes, Temperatures];
    private readonly double _logRoom;
    private readonly double _coldest;
    private readonly double _celsiusStep;

    private BestCourse(BestCase wanted, Func<double, double> litresPerHour)
    {
        (_case, _litresPerHour) = (wanted, litresPerHour);
        _logRoom = Math.Log(wanted.Apart / wanted.Tolerance);
        _coldest = Math.Min(wanted.StartCelsius, Math.Min(wanted.TankCelsius, wanted.RoomCelsius)) - 0.1;
        var warmest = Math.Max(wanted.StartCelsius, Math.Max(wanted.TankCelsius, wanted.RoomCelsius)) + 0.1;
        _celsiusStep = (warmest - _coldest) / (Temperatures - 1);
    }

    /// <summary>Hours to the match; infinite when it can not be reached within <paramref name="hours"/>.</summary>
    /// <param name="wanted">The night.</param>
    /// <param name="litresPerHour">What the fully open drip gives at every hour, L/h.</param>
    /// <param name="hours">The longest night, h.</param>
    public static double Hours(BestCase wanted, Func<double, double> litresPerHour, double hours)
    {
        if (wanted.Apart <= wanted.Tolerance)
        {
            return 0;
        }

        var course = new BestCourse(wanted, litresPerHour);
        var steps = (int)Math.Ceiling(hours / StepHours);
        course.FindLimits(Enumerable.Range(0, steps).Max(step => litresPerHour((step + 0.5) * StepHours)) * StepHours);
        var (now, later) = (new double[Volumes, Temperatures], new double[Volumes, Temperatures]);
        for (var v = 0; v < Volumes; v++)
        {
            for (var t = 0; t < Temperatures; t++)
            {
                later[v, t] = v == Volumes - 1 ? 0 : 1e3; // not there when the night is over
            }
        }

        for (var step = steps - 1; step >= 0; step--)
        {
            course.Back(step, later, now);
            (now, later) = (later, now);
        }

        var best = course.Between(later, 0, wanted.StartCelsius);
        return best > hours ? double.PositiveInfinity : best;
    }

    private double LitresOf(int v) => _case.StartLitres * Math.Exp(_logRoom * v / (Volumes - 1));

    /// <summary>What a state allows does not change with the hour: found once, for the strongest drip of the night.</summary>
    private void FindLimits(double most)
    {
        for (var v = 0; v < Volumes - 1; v++)
        {
            for (var t = 0; t < Temperatures; t++)
            {
                _limits[v, t] = Allowed(LitresOf(v), _coldest + (t * _celsiusStep), most);
            }
        }
    }

    /// <summary>One step of the recursion: the best that can still be had from every state.</summary>
    private void Back(int step, double[,] later, double[,] now)
    {
        var most = _litresPerHour((step + 0.5) * StepHours) * StepHours;
        for (var v = 0; v < Volumes - 1; v++)
        {
            var litres = LitresOf(v);
            for (var t = 0; t < Temperatures; t++)
            {
                now[v, t] = Best(litres, _coldest + (t * _celsiusStep), Math.Min(most, _limits[v, t]), later);
            }
        }
    }

    private double Best(double litres, double celsius, double allowed, double[,] later)
    {
        var best = double.PositiveInfinity;
        var apart = _case.Apart * _case.StartLitres / litres;
        for (var share = 0; share <= Shares; share++)
        {
            var poured = allowed * share / Shares;
            var after = litres + poured;

            // Even within the step: only the part of it that was needed.
            var cost = apart * litres / after <= _case.Tolerance
                ? StepHours * ((litres * apart / _case.Tolerance) - litres) / poured
                : StepHours + Between(later, Math.Log(after / _case.StartLitres) / _logRoom * (Volumes - 1), After(litres, celsius, poured));
            best = Math.Min(best, cost);
        }

        return best;
    }

    /// <summary>The most that may be poured in one step without breaking a limit, found by halving.</summary>
    private double Allowed(double litres, double celsius, double most)
    {
        if (!Breaks(litres, celsius, most))
        {
            return most;
        }

        var (fits, breaks) = (0.0, most);
        for (var i = 0; i < Halvings; i++)
        {
            var middle = (fits + breaks) / 2;
            (fits, breaks) = Breaks(litres, celsius, middle) ? (fits, middle) : (middle, breaks);
        }

        return fits;
    }

    private bool Breaks(double litres, double celsius, double poured)
    {
        var apart = _case.Apart * _case.StartLitres / litres;
        return apart - (apart * litres / (litres + poured)) > _case.MostPerHour * StepHours
            || Math.Abs(After(litres, celsius, poured) - celsius) > _case.MostCelsiusPerHour * StepHours;
    }

    private double After(double litres, double celsius, double poured)
    {
        var after = litres + poured;
        var mixed = ((celsius * litres) + (_case.TankCelsius * poured)) / after;
        return mixed + ((_case.RoomCelsius - mixed) * (1 - Math.Exp(-_case.RoomLitresPerHour * StepHours / after)));
    }

    private double Between(double[,] of, double volume, double celsius)
    {
        var t = Math.Clamp((celsius - _coldest) / _celsiusStep, 0, Temperatures - 1.000001);
        var v = Math.Clamp(volume, 0, Volumes - 1.000001);
        var (lowV, lowT) = ((int)v, (int)t);
        var (inV, inT) = (v - lowV, t - lowT);
        return ((((of[lowV, lowT] * (1 - inV)) + (of[lowV + 1, lowT] * inV)) * (1 - inT))
            + (((of[lowV, lowT + 1] * (1 - inV)) + (of[lowV + 1, lowT + 1] * inV)) * inT));
    }
}
