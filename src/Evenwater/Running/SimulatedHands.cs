using System.Globalization;
using Evenwater.Hardware.Rig;

namespace Evenwater.Running;

/// <summary>What a keeper's hands do in a calibration, where the keeper is simulated as well: probes into cups and back, water into the vessel.</summary>
/// <param name="rig">The rig that they reach into.</param>
internal sealed class SimulatedHands(SimulatedRig rig)
{
    /// <summary>What can be asked of them.</summary>
    public const string Allowed = "in, out, vessel MICROSIEMENS CELSIUS, tank MICROSIEMENS CELSIUS, pour LITRES";

    /// <summary>Does it, and says so; null when it is none of the allowed.</summary>
    /// <param name="asked">One of <see cref="Allowed"/>; the conductivity is that of the cup's liquid at its own temperature.</param>
    public string? Do(string asked)
    {
        switch (asked.Split(' '))
        {
            case ["in"]:
                rig.PutInOneCup(true);
                return "Simulated: both probes are in one cup of the tank's water.";
            case ["out"]:
                rig.PutInOneCup(false);
                rig.Dip(vessel: true, null);
                rig.Dip(vessel: false, null);
                rig.Pour(null);
                return "Simulated: each probe is back in its own water.";
            case [var which, var first, var second] when which is "vessel" or "tank" && Number(first) is { } kappa && Number(second) is { } celsius:
                rig.Dip(which == "vessel", new SimulatedCup(kappa, celsius));
                return $"Simulated: the {which}'s probe and its thermometer are in a cup of {kappa:0} µS/cm at {celsius:0.0} °C.";
            case ["pour", var litres] when Number(litres) is { } volume:
                rig.Pour(volume);
                return $"Simulated: {volume:0.###} L are in the vessel.";
            default:
                return null;
        }
    }

    /// <summary>A number as the hands are told it.</summary>
    public static string Text(double value) => value.ToString("R");

    private static double? Number(string text) =>
        double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var value) && value is >= -5 and <= 200_000 ? value : null;
}
