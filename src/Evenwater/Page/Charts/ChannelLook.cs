using Evenwater.Core;
using Evenwater.Core.Telling;

namespace Evenwater.Page.Charts;

/// <summary>How a channel is shown on every page: its words, its unit, its digits.</summary>
/// <param name="Label">What it is.</param>
/// <param name="Unit">Its unit; what has the same stands in the same chart.</param>
/// <param name="Decimals">Digits after the point.</param>
public sealed record ChannelLook(string Label, string Unit, int Decimals)
{
    private const string DryOrWet = "0 dry, 1 wet";

    private static readonly ChannelLook[] s_all =
    [
        new("Vessel conductivity", "µS/cm at 25 °C", 0),
        new("Vessel temperature", "°C", 2),
        new("Tank conductivity", "µS/cm at 25 °C", 0),
        new("Tank temperature", "°C", 2),
        new("Low float", DryOrWet, 2),
        new("High float", DryOrWet, 2),
        new("Floor", DryOrWet, 2),
        new("Drops", "drops a reading", 1),
        new("Water on the scale", "kg", 3),
        new("Height of the water", "mm", 1),
        new("Light over the tank", "lx", 0),
    ];

    /// <summary>Of a channel.</summary>
    public static ChannelLook Of(Channel channel) => s_all[(int)channel];

    /// <summary>Whether it is either of two states, so that its means lie from 0 to 1.</summary>
    public bool IsSwitch => Unit == DryOrWet;

    /// <summary>The value as text, without its unit.</summary>
    public string Text(double value) => value.ToString(IsSwitch ? "0.##" : DigitsForm.Of(Decimals));
}
