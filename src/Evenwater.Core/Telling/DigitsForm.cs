namespace Evenwater.Core.Telling;

/// <summary>
/// A number's format with a fixed count of digits after the point. By it a half is rounded up, as in every sentence; by "F1", and by a rounding before, to the even digit. Thermometers read in
/// sixteenths, so that one of sixteen readings, as 25.25 °C, was told otherwise in a table than in the sentence above it.
/// </summary>
public static class DigitsForm
{
    /// <summary>The format.</summary>
    /// <param name="decimals">Digits after the point, 0 or more.</param>
    public static string Of(int decimals) => decimals == 0 ? "0" : $"0.{new string('0', decimals)}";
}
