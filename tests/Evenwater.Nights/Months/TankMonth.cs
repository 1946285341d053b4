using Evenwater.Nights.Plant;

namespace Evenwater.Nights.Months;

/// <summary>
/// A tank over thirty days, minute by minute, by a water and salt balance of its own: litres and an amount of salt, a heat balance with room, lamp and heater, a probe
/// that fouls, and what happens to them. It shares no number with what looks back at it.
/// </summary>
internal sealed class TankMonth
{
    public const int Minutes = 30 * 1440;
    public const int FillingMinutes = 5;
    private const int FilledUpBefore = 300; // at seven in the evening

    private readonly Chance _chance;

    public TankMonth(int seed, bool quiet = false, double evaporatesPercentADay = 0, int filledUpEveryDays = 0)
    {
        _chance = new Chance(seed);
        Seed = seed;
        EvaporatesPercentADay = evaporatesPercentADay;
        FilledUp = filledUpEveryDays == 0 ? [] : [.. Enumerable.Range(1, 30 / filledUpEveryDays).Select(i => (i * filledUpEveryDays * 1440) - FilledUpBefore).Where(minute => minute > 0 && minute + FillingMinutes < Minutes)];
        Marine = _chance.Happens(0.4);
        Litres = _chance.LogBetween(40, 400);
        Microsiemens = Marine ? _chance.Between(46_000, 54_000) : _chance.LogBetween(180, 900);
        NewMicrosiemens = Marine ? Microsiemens * _chance.Between(0.88, 0.95) : Microsiemens * (_chance.Happens(0.8) ? _chance.Between(0.45, 0.8) : _chance.Between(1.25, 1.5));
        NewCelsius = _chance.Between(17, 21);
        RoomCelsius = _chance.Between(18.5, 21.5);
        SetCelsius = _chance.Between(23.5, 26.5);
        LampOn = _chance.Whole(6, 11) * 60;
        LampOff = LampOn + (_chance.Whole(8, 12) * 60);
        Planted = quiet ? [] : Planting.Of(_chance, Marine, Litres);
        (Conductivity, Temperature, Light) = MonthWater.Run(this, _chance, Planted);
        if (Planted.Count > 0) Planting.Measure(this);
    }

    public int Seed { get; }

    /// <summary>How much of its litres it loses every day, as long as it is looked at, %.</summary>
    public double EvaporatesPercentADay { get; }

    /// <summary>When the keeper fills it up to its litres again, as a habit: the minutes at which the pouring begins.</summary>
    public IReadOnlyList<int> FilledUp { get; }

    public bool Marine { get; }

    public double Litres { get; }

    public double Microsiemens { get; }

    public double NewMicrosiemens { get; }

    public double NewCelsius { get; }

    public double RoomCelsius { get; }

    public double SetCelsius { get; }

    public int LampOn { get; }

    public int LampOff { get; }

    public IReadOnlyList<Planted> Planted { get; }

    /// <summary>µS/cm at 25 °C; NaN while nothing was measured.</summary>
    public double[] Conductivity { get; private set; }

    public double[] Temperature { get; private set; }

    public double[] Light { get; private set; }

    /// <summary>What the water did beside what it would have done with nothing planted, without noise: % and °C and lx.</summary>
    internal (double[] Conductivity, double[] Temperature, double[] Light) Moved { get; set; }

    /// <summary>The spread of each channel's noise in quarter-hours, sd: % and °C and lx.</summary>
    internal (double Conductivity, double Temperature, double Light) Restless { get; set; }
}
