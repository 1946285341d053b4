using Evenwater.Core.Standing;
using Evenwater.Core.Stations;

namespace Evenwater.Keeping;

/// <summary>What a tank loses and gets, in lines.</summary>
internal static class TankBudgetText
{
    /// <summary>Water lost, in each way that tells something; where two ways differ, what may be behind it.</summary>
    public static IEnumerable<string> Lost(WaterLost lost, Station station)
    {
        yield return $"by the salt that stays behind: {Salt(lost.BySalt, station)}";
        if (lost.ByAir is { } air) yield return $"by surface, water and room at 40 to 60 % humidity: {Litres(air.Low)} to {Litres(air.High)} L a day";
        if (lost.BySalt is { } salt && lost.ByAir is { } open && Apart(salt, open) is { } why) yield return why;
        if (lost.ByTopOffs is { } poured) yield return $"by what was poured in: {Litres(poured)} L a day";
    }

    private static string Salt(EvaporationFromSalt? known, Station station) => known is not { } salt
        ? station switch
        {
            { Sensors.TankConductivity: null } => "can't tell, there is no conductivity probe in the tank",
            { Source.AutomaticTopOff: true } => "can't tell, an automatic top-off puts back what is lost",
            _ => "can't tell, no whole day between two water changes, top-offs or doses",
        }
        : salt switch
        {
            { Tells: false } => $"less than {Litres(Math.Abs(salt.LitresPerDay) + (2 * salt.SdLitresPerDay))} L a day, of {Days(salt)}",
            { LitresPerDay: < 0 } => $"nothing is lost by it: conductivity falls as if {Litres(-salt.LitresPerDay)} ± {Litres(salt.SdLitresPerDay)} L of pure water a day came in, of {Days(salt)}: water that no note tells of, or a film on the probe",
            _ => $"{Litres(salt.LitresPerDay)} ± {Litres(salt.SdLitresPerDay)} L a day, of {Days(salt)}",
        };

    private static string Days(EvaporationFromSalt salt) => TankText.Number(salt.Days, 1) is var days and not "1" ? $"{days} days" : "1 day";

    /// <summary>Where two standard deviations of the one do not reach the other. What falls has said so itself.</summary>
    private static string? Apart(EvaporationFromSalt salt, (double Low, double High) open) => salt switch
    {
        { Tells: true, LitresPerDay: < 0 } => null,
        _ when Math.Max(0, salt.LitresPerDay) + (2 * salt.SdLitresPerDay) < open.Low => "the salt tells of less than an open surface gives: right if a cover or damp, still air keeps the water in; too little if water was poured in, or plants took up salt, without a note",
        _ when salt.LitresPerDay - (2 * salt.SdLitresPerDay) > open.High => "the salt tells of more than an open surface gives: right if a fan, bubbles or dry air take more; too much if food, rock or a dose without a note brought salt in, or the probe drifts",
        _ => null,
    };

    /// <summary>One thing that was dosed.</summary>
    public static string Dose(Dosed dosed, double tankLitres, TimeZoneInfo zone)
    {
        var told = $"{(BookText.OneLine(dosed.Of) is { Length: > 0 } of ? of : "(without a name)")}: {Amount(dosed.Amount, dosed.Unit)} in {dosed.Count}, last {KeptTime.Text(dosed.Last, zone)}; "
            + $"left at most {Amount(dosed.LeftPerLitre * tankLitres, dosed.Unit)} in the tank ({Figure(dosed.LeftPerLitre)} {dosed.Unit}/L)";
        return dosed.Swing is { } swing ? $"{told}; as it goes, {Figure(swing.AfterChange * tankLitres)} to {Amount(swing.BeforeChange * tankLitres, dosed.Unit)}" : told;
    }

    private static string Amount(double value, string unit) => Figure(value) is var figure && figure == "1" ? $"1 {unit.TrimEnd('s')}" : $"{figure} {unit}";

    private static string Litres(double litres) => litres.ToString("0.00");

    /// <summary>Three figures, and all digits of a larger number; never with an exponent.</summary>
    private static string Figure(double value) => value switch
    {
        0 => "0",
        < 1e-4 => "less than 0.0001",
        < 100 => value.ToString("G3"),
        _ => value.ToString("0"),
    };
}
