namespace Evenwater.Page.Frame;

/// <summary>A page of a station: its name in the navigation and the end of its address.</summary>
/// <param name="Name">As people read it.</param>
/// <param name="End">What follows the station's address.</param>
public sealed record PageNav(string Name, string End)
{
    /// <summary>The pages a station has, in the order to show them.</summary>
    public static IReadOnlyList<PageNav> All { get; } =
    [
        new("Tonight", ""),
        new("History", "/history"),
        new("Swings", "/swings"),
        new("What did it do?", "/did"),
        new("Journal", "/journal"),
        new("Plan", "/plan"),
    ];

    /// <summary>Its address.</summary>
    public string Of(string station) => Address(station, End);

    /// <summary>The address of a page of a station.</summary>
    public static string Address(string station, string end = "") => $"/stations/{Uri.EscapeDataString(station)}{end}";
}
