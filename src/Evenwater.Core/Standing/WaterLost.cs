using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Standing;

/// <summary>Water that a tank gives to the air, told in three ways that share nothing: what stays behind, what the air takes, what the keeper pours in. L a day.</summary>
/// <param name="BySalt">By conductivity between two acts; null when no day lies between any, and where an automatic top-off puts back what is lost.</param>
/// <param name="ByAir">By surface, water and room for air of 40 to 60 % humidity, usual indoors (common practice, no source), each a third off; null without a water temperature, or when the tank is covered.</param>
/// <param name="ByTopOffs">By the top-offs of the book, from the first to the last; null for less than three fillings, or within less than a day.</param>
public sealed record WaterLost(EvaporationFromSalt? BySalt, (double Low, double High)? ByAir, double? ByTopOffs)
{
    /// <summary>As <see cref="Water.Evaporation"/> says of itself.</summary>
    private const double AirDoubt = 1.0 / 3;

    /// <summary>The three figures.</summary>
    /// <param name="station">Its tank's volume and surface, and the room.</param>
    /// <param name="conductivity">Stretches of an hour at the most, µS/cm at 25 °C, in order.</param>
    /// <param name="waterCelsius">The tank, 0 to 50 °C; null when unknown.</param>
    /// <param name="book">The station's book.</param>
    /// <param name="from">Notes from here on.</param>
    public static WaterLost Of(Station station, IEnumerable<Stretch> conductivity, double? waterCelsius, Book book, DateTimeOffset from)
    {
        ArgumentNullException.ThrowIfNull(station);
        ArgumentNullException.ThrowIfNull(book);
        Note[] notes = [.. book.Standing.Where(note => note.At >= from)];
        var acts = notes.Where(note => note.Kind is NoteKind.WaterChange or NoteKind.TopOff or NoteKind.Dose or NoteKind.Medication or NoteKind.ProbeClean or NoteKind.Calibration)
            .Select(note => note.At!.Value);
        return new(
            station.Source.AutomaticTopOff ? null : EvaporationFromSalt.Of(conductivity, acts, station.Source.VolumeLitres), Air(station, waterCelsius),
            TopOffs([.. notes.Where(note => note is { Kind: NoteKind.TopOff, Litres: not null })]));
    }

    private static (double Low, double High)? Air(Station station, double? waterCelsius)
    {
        // The formula's own ranges; what lies beyond is not told.
        if (waterCelsius is not (>= 0 and <= 50) || station.Room.TemperatureCelsius is not (>= 0 and <= 50)) return null;
        if (station.Source.SurfaceAreaSquareMetres is not (> 0 and <= 100) || station.Tank.Covered) return null;
        double Litres(double humidity) => Math.Max(0, 24e-3 * Water.Evaporation.GramsPerHour(
            station.Source.SurfaceAreaSquareMetres, waterCelsius.Value, station.Room.TemperatureCelsius, humidity, airMetresPerSecond: 0));
        return (Litres(0.6) * (1 - AirDoubt), Litres(0.4) * (1 + AirDoubt));
    }

    /// <summary>All but the first filling, over the time from first to last: the first made up for a time that nobody knows. Jugs one after the other are one filling.</summary>
    private static double? TopOffs(Note[] notes)
    {
        DateTimeOffset[] fillings = [.. notes.Select(note => note.At!.Value).Where((at, i) => i == 0 || (at - notes[i - 1].At!.Value).TotalHours > EvaporationFromSalt.MixingHours)];
        return fillings.Length >= 3 && (fillings[^1] - fillings[0]).TotalDays is >= EvaporationFromSalt.LeastDays and var days
            ? notes.Where(note => note.At >= fillings[1]).Sum(note => note.Litres!.Value) / days
            : null;
    }
}
