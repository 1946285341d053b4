using System.Globalization;

namespace Evenwater.Core.Review.Comparing;

/// <summary>Figures in words: names, units, numbers.</summary>
public static class DidWords
{
    /// <summary>The channel as it is asked for.</summary>
    public static string Name(Channel channel) => channel switch { Channel.TankConductivity => "conductivity", Channel.TankTemperature => "temperature", _ => "light" };

    /// <summary>The figure, as a thing.</summary>
    public static string Name(Figure figure) => figure switch
    {
        Figure.Level => "level",
        Figure.Slope => "slope",
        Figure.DailySwing => "daily-swing",
        Figure.Restlessness => "restlessness",
        _ => "lit-hours",
    };

    /// <summary>The figure of a channel, as it begins a sentence.</summary>
    public static string Subject(Channel channel, Figure figure) => figure switch
    {
        Figure.Level => $"The {Name(channel)}",
        Figure.Slope => $"The {Name(channel)}'s slope from day to day",
        Figure.DailySwing => $"The {Name(channel)}'s swing within a day",
        Figure.Restlessness => $"The {Name(channel)}'s small movements",
        _ => "The lamp's hours",
    };

    /// <summary>The verb that goes with <see cref="Subject"/>.</summary>
    public static string Was(Figure figure) => figure is Figure.LitHours or Figure.Restlessness ? "were" : "was";

    /// <summary>Unit of a difference.</summary>
    public static string Unit(Channel channel, Figure figure) => figure switch
    {
        Figure.Restlessness => "%",
        Figure.LitHours => "h a day",
        Figure.Slope => $"{Plain(channel)} a day",
        _ => Plain(channel),
    };

    /// <summary>Unit of what it was before and after.</summary>
    public static string OwnUnit(Channel channel, Figure figure) => (channel, figure) switch
    {
        (Channel.TankConductivity, Figure.Level) => "µS/cm",
        (_, Figure.Restlessness) => $"{Plain(channel)} a quarter",
        _ => Unit(channel, figure),
    };

    /// <summary>A difference in <see cref="Unit"/>: of a logarithm, per cent.</summary>
    public static double Told(Channel channel, Figure figure, double value) =>
        figure == Figure.Restlessness || (channel == Channel.TankConductivity && figure == Figure.Level) ? 100 * (Math.Exp(value / 100) - 1) : value;

    /// <summary>What it was, in <see cref="OwnUnit"/>.</summary>
    public static double Own(Channel channel, Figure figure, double value) =>
        figure == Figure.Restlessness || (channel == Channel.TankConductivity && figure == Figure.Level) ? Math.Exp(value / 100) : value;

    /// <summary>A number with three figures or so.</summary>
    public static string Say(double value) => Math.Abs(value) < 0.0005 ? "0" : value.ToString(Math.Abs(value) switch { >= 100 => "0", >= 10 => "0.0", >= 0.1 => "0.00", _ => "0.000" }, CultureInfo.InvariantCulture);

    /// <summary>What it was: as finely as a difference that matters can still be read from two of them.</summary>
    public static string SayOwn(Channel channel, Figure figure, double value) => figure == Figure.Level ? SayLevel(channel, Own(channel, figure, value)) : Say(Own(channel, figure, value));

    /// <summary>A level in its own unit, as finely as a difference that matters can still be read from two of them.</summary>
    public static string SayLevel(Channel channel, double own) => own.ToString($"F{Decimals(channel, own)}", CultureInfo.InvariantCulture);

    /// <summary>A level with the half width of its interval, rounded up to the same place: "183.5 ± 0.1".</summary>
    public static string SayLevel(Channel channel, double own, double halfWidth)
    {
        var places = Decimals(channel, own);
        var step = Math.Pow(10, -places);
        return $"{SayLevel(channel, own)} ± {(Math.Max(0, Math.Ceiling((halfWidth / step) - 1e-9)) * step).ToString($"F{places}", CultureInfo.InvariantCulture)}";
    }

    private static int Decimals(Channel channel, double own) => (channel, own) switch { (Channel.TankTemperature, _) => 2, (Channel.TankConductivity, < 1000) => 1, _ => 0 };

    /// <summary>A difference with its interval: "0.80 °C lower (0.70 to 0.90 lower)".</summary>
    public static string Difference(Compared one)
    {
        ArgumentNullException.ThrowIfNull(one);
        if (one.Difference is not { } difference) return "";
        var (low, value, high) = (Told(one.Channel, one.Figure, difference.Low), Told(one.Channel, one.Figure, difference.Value), Told(one.Channel, one.Figure, difference.High));
        var unit = Unit(one.Channel, one.Figure);
        return Say(Math.Abs(value)) is var size and not "0" ? $"{size} {unit} {Way(one.Figure, value)} ({Range(one.Figure, low, high)})" : $"none ({Range(one.Figure, low, high)})";
    }

    /// <summary>An interval in words: both ends, and which way each lies.</summary>
    public static string Range(Figure figure, double low, double high) => (low, high) switch
    {
        ( >= 0, _) => $"{Say(low)} to {Say(high)} {Way(figure, 1)}",
        (_, <= 0) => $"{Say(-high)} to {Say(-low)} {Way(figure, -1)}",
        _ => $"from {Say(-low)} {Way(figure, -1)} to {Say(high)} {Way(figure, 1)}",
    };

    /// <summary>What is said of a figure, in a few words.</summary>
    public static string Verdict(Compared one)
    {
        ArgumentNullException.ThrowIfNull(one);
        var matters = $"{Say(Told(one.Channel, one.Figure, Probe.Matters(one.Channel, one.Figure)))} {Unit(one.Channel, one.Figure)}";
        return one.Verdict switch
        {
            Comparing.Verdict.Lower or Comparing.Verdict.Higher => $"{Way(one.Figure, one.Difference!.Value.Value)} than before",
            Comparing.Verdict.AsBefore => $"as before, within {matters}",
            Comparing.Verdict.LessThanMatters => $"changed, by less than {matters}",
            Comparing.Verdict.OnItsWay => "was on its way there before",
            Comparing.Verdict.AsOnOtherDays => "other days show as much",
            Comparing.Verdict.CanNotTell => "can't tell",
            _ => "too little was read",
        };
    }

    /// <summary>How it looks beside other days.</summary>
    public static string OtherDays(OtherDays days) => !days.Tells
        ? $"{(days.Days == 0 ? "No other day" : $"Only {days.Days} other {(days.Days == 1 ? "day" : "days")}")} on which nothing was done could be looked at; {Comparing.OtherDays.Least} are the least."
        : days.AsLarge == 0 ? $"Of {days.Days} other days on which nothing was done, none shows as large a difference ({Apart(days.Apart)})."
        : $"Of {days.Days} other days on which nothing was done, {days.AsLarge} {(days.AsLarge == 1 ? "shows" : "show")} as large a difference: 1 in {Math.Round((double)days.Days / days.AsLarge).ToString("0", CultureInfo.InvariantCulture)} such days.";

    private static string Apart(int count) => count == 1 ? "all share readings with one another, so they are worth one" : $"as much as {count} that share no reading";

    private static string Plain(Channel channel) => channel switch { Channel.TankConductivity => "%", Channel.TankTemperature => "°C", _ => "lx" };

    private static string Way(Figure figure, double value) => figure switch
    {
        Figure.LitHours => value < 0 ? "shorter" : "longer",
        Figure.DailySwing or Figure.Restlessness => value < 0 ? "smaller" : "larger",
        Figure.Slope => value < 0 ? "more downward" : "more upward",
        _ => value < 0 ? "lower" : "higher",
    };
}
