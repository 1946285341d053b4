using System.Globalization;

namespace Evenwater.Core.Telling;

/// <summary>What is said of a valve that opens in pulses.</summary>
internal static class PacedWords
{
    /// <summary>What the program does with the valve in a paced run; null in any other. Nothing of this pulse: a sentence stands for half a minute, and many pulses do not.</summary>
    public static string? Of(StationState state)
    {
        if (!state.IsPaced)
        {
            return null;
        }

        var most = state.Pace is { } pace
            ? new[] { Most(pace.MicrosiemensPerCmPerHour, "0", "µS/cm"), Most(pace.CelsiusPerHour, "0.0#", "°C") }.Where(text => text is not null).ToArray()
            : [];
        return $"The valve opens in pulses{(most.Length > 0 ? $", so that the water changes by at most {string.Join(" and ", most)} an hour" : "")}.";
    }

    /// <summary>Where the path ends short of the tank's water, at the limit of a whole run; null where it does not.</summary>
    public static string? EndsShort(StationState state)
    {
        if (state.Pace is not { } pace)
        {
            return null;
        }

        return Beyond(state, Channel.TankConductivity, state.Run!.Prior.TankMicrosiemensPerCm, state.Pacer.FromMicrosiemensPerCm, pace.TotalMicrosiemensPerCm) ? Most(pace.TotalMicrosiemensPerCm, "0", "µS/cm")
            : Beyond(state, Channel.TankTemperature, null, state.Pacer.FromCelsius, pace.TotalCelsius) ? Most(pace.TotalCelsius, "0.0#", "°C")
            : null;
    }

    private static bool Beyond(StationState state, Channel tank, double? byHand, double? from, double total) =>
        from is { } start && (byHand ?? (state.Readings[tank].TryGet(out var read) ? read : null)) is { } there && Math.Abs(there - start) > total;

    private static string? Most(double perHour, string format, string unit) =>
        double.IsFinite(perHour) ? $"{perHour.ToString(format, CultureInfo.InvariantCulture)} {unit}" : null;
}
