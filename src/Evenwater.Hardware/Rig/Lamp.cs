namespace Evenwater.Hardware.Rig;

/// <summary>The lamp over the tank, on a timer: ten hours a day. A night begins two hours before it goes off, as an evening does. Invented, as is its strength.</summary>
internal static class Lamp
{
    private const double HoursOn = 10;
    private const double HoursOnBefore = 8;
    private const double FullLux = 9000;
    private const double NightLux = 2;
    private const double Flicker = 0.005;

    /// <summary>The light over the water, lx.</summary>
    /// <param name="seconds">Since the night began.</param>
    /// <param name="random">For the flicker.</param>
    public static double Lux(double seconds, ref Pcg random) =>
        ((seconds / 3600) + HoursOnBefore) % 24 < HoursOn ? FullLux * (1 + (Flicker * random.NextNormal())) : NightLux;
}
