using System.Globalization;
using Evenwater.Page.Frame;
using Evenwater.Running;

namespace Evenwater.Page.Opening;

/// <summary>What a person measured for the run that is to begin; what is null is taken from the station file.</summary>
/// <param name="StartVolumeLitres">The water in the vessel, L.</param>
/// <param name="ByEye">Whether that was judged by eye, not measured with a jug.</param>
/// <param name="TankMicrosiemensPerCm">The tank, µS/cm at 25 °C, where no probe hangs in it.</param>
public sealed record StartMeasured(double? StartVolumeLitres, bool ByEye, double? TankMicrosiemensPerCm)
{
    /// <summary>Nothing was measured.</summary>
    public static StartMeasured Nothing { get; } = new(null, false, null);

    /// <summary>The same in the same way always, for a signature.</summary>
    internal string Text => string.Create(CultureInfo.InvariantCulture, $"{StartVolumeLitres:R} {ByEye} {TankMicrosiemensPerCm:R}");

    /// <summary>As the station wants it.</summary>
    internal StartKnown Known(bool attended) => new(
        StartVolumeLitres, StartVolumeLitres is null ? null : ByEye ? StartKnown.EyeRelativeSd : StartKnown.JugRelativeSd, TankMicrosiemensPerCm: TankMicrosiemensPerCm, Attended: attended);

    /// <summary>Reads it, and says by the field what can not be taken.</summary>
    /// <param name="field">What was given for a field; empty for nothing.</param>
    /// <param name="begins">What the run would begin with; null when no run would begin, and then nothing is read.</param>
    internal static (StartMeasured Measured, IReadOnlyList<FieldRefusal> Refused) Of(Func<string, string> field, Beginning? begins)
    {
        if (begins is null) return (Nothing, []);
        List<FieldRefusal> refused = [];
        var volume = Number("startVolumeLitres", v => v >= StartKnown.LeastStartLitres && v < begins.MostStartLitres, $"{StartKnown.LeastStartLitres} to less than {begins.MostStartLitres:0.##} L, the vessel's mark or standpipe");
        var tank = begins.Tank is null ? Number("tankMicrosiemensPerCm", t => t is >= StartKnown.LeastTank and <= StartKnown.MostTank, StartKnown.TankAllowed) : null;
        if (begins.Tank is null && tank is null && refused.All(one => one.Field != "tankMicrosiemensPerCm"))
            refused.Add(new("tankMicrosiemensPerCm", "", StartKnown.TankAllowed, "There is no probe in the tank: measure it."));
        return (new(volume, OpeningAsk.IsYes(field("byEye")), tank), refused);

        double? Number(string name, Func<double, bool> may, string allowed)
        {
            var text = field(name).Trim();
            if (text.Length == 0) return null;
            var read = double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var number);
            if (read && may(number)) return number;
            refused.Add(new(name, text, allowed, read ? null : "Write it in figures, with a point for parts, such as 1.6."));
            return null;
        }
    }
}
