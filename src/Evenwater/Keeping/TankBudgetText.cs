using System.Globalization;
using Evenwater.Core.Standing;

namespace Evenwater.Keeping;

/// <summary>What a tank loses and gets, in lines.</summary>
internal static class TankBudgetText
{
    /// <summary>Water lost, in each way that tells something.</summary>
    public static IEnumerable<string> Lost(WaterLost lost)
    {
        yield return lost.BySalt is not { } salt ? "by the salt that stays behind: can't tell, no whole day between two water changes, top-offs or doses"
            : salt.Tells ? $"by the salt that stays behind: {Litres(salt.LitresPerDay)} ± {Litres(salt.SdLitresPerDay)} L a day, of {TankText.Number(salt.Days, 1)} days"
            : $"by the salt that stays behind: less than {Litres(Math.Abs(salt.LitresPerDay) + (2 * salt.SdLitresPerDay))} L a day, of {TankText.Number(salt.Days, 1)} days";
        if (lost.ByAir is { } air) yield return $"by surface, water and room at 40 to 60 % humidity: {Litres(air.Low)} to {Litres(air.High)} L a day";
        if (lost.ByTopOffs is { } poured) yield return $"by what was poured in: {Litres(poured)} L a day";
    }

    /// <summary>One thing that was dosed.</summary>
    public static string Dose(Dosed dosed, double tankLitres, TimeZoneInfo zone)
    {
        var told = $"{(dosed.Of.Length > 0 ? dosed.Of : "(without a name)")}: {Figure(dosed.Amount)} {dosed.Unit} in {dosed.Count}, last {KeptTime.Text(dosed.Last, zone)}; "
            + $"left at most {Figure(dosed.LeftPerLitre * tankLitres)} {dosed.Unit} in the tank ({Figure(dosed.LeftPerLitre)} {dosed.Unit}/L)";
        return dosed.Swing is { } swing ? $"{told}; as it goes, {Figure(swing.AfterChange * tankLitres)} to {Figure(swing.BeforeChange * tankLitres)} {dosed.Unit}" : told;
    }

    private static string Litres(double litres) => litres.ToString("0.00", CultureInfo.InvariantCulture);

    private static string Figure(double value) => value.ToString("G3", CultureInfo.InvariantCulture);
}
