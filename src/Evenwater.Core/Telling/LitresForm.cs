namespace Evenwater.Core.Telling;

/// <summary>How many digits litres are told with: of a cup of 0.3 L a tenth of a litre tells nothing.</summary>
public static class LitresForm
{
    /// <summary>Below this two digits after the point are told, L.</summary>
    private const double Small = 2;

    /// <summary>The digits after the point.</summary>
    /// <param name="wholeLitres">What the vessel, or whatever is told of, takes in all, L.</param>
    public static int Decimals(double wholeLitres) => wholeLitres < Small ? 2 : 1;

    /// <summary>The same as a format.</summary>
    /// <param name="wholeLitres">What the vessel, or whatever is told of, takes in all, L.</param>
    public static string Of(double wholeLitres) => wholeLitres < Small ? "0.00" : "0.0";
}
