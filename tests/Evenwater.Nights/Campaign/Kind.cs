using Evenwater.Core.Alarms;
using Evenwater.Core.Stations;

namespace Evenwater.Nights.Campaign;

/// <summary>A kind of night that is run many times.</summary>
/// <param name="Name">How the table calls it.</param>
/// <param name="Station">The station as the keeper describes it.</param>
/// <param name="Faults">What goes wrong, as NAME@TIME.</param>
public sealed record Kind(string Name, Station Station, params string[] Faults)
{
    /// <summary>Longest night, h.</summary>
    public double Hours { get; init; } = 12;

    /// <summary>The night is over so long after the valve closed, h; what happens behind a closed valve needs longer.</summary>
    public double HoursAfterClosing { get; init; } = 0.25;

    /// <summary>What the rig is made from, when the keeper is mistaken about it.</summary>
    public Station? Truth { get; init; }

    /// <summary>Nights of this kind for each one asked for.</summary>
    public int Share { get; init; } = 1;

    /// <summary>The alarm that must tell of the fault; null when any sign will do.</summary>
    public AlarmId? Sign { get; init; }

    /// <summary>A keeper who resets and begins again every ten minutes, whatever the program says.</summary>
    public bool Insists { get; init; }
}
