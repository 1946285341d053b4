namespace Evenwater.Core.Review.Comparing;

/// <summary>What a probe can tell, and what a keeper would care about. Common practice, no source, all of it.</summary>
public static class Probe
{
    /// <summary>1-sigma of what a probe errs in common over days: 0.1 %, 0.02 °C, 10 lx.</summary>
    public static double Least(Channel channel) => channel switch { Channel.TankConductivity => 0.1, Channel.TankTemperature => 0.02, _ => 10 };

    /// <summary>A probe that shows the same quarter after quarter moves by no less than this from one to the next, as far as anybody knows: a tenth of what it can tell.</summary>
    public static double Still(Channel channel) => channel switch { Channel.TankConductivity => 0.005, Channel.TankTemperature => 0.001, _ => 1 };

    /// <summary>1-sigma of a figure by what the device can tell at all, in the figure's unit.</summary>
    public static double Least(Channel channel, Figure figure) => figure switch
    {
        Figure.Slope => Least(channel) / 7,
        Figure.Restlessness => 5,           // % of a ratio
        Figure.LitHours => 0.25 / 3.4641,   // a quarter of an hour, anywhere in it as likely: over √12 (GUM 4.3.7)
        _ => Least(channel),
    };

    /// <summary>Less than this is no matter, in the figure's unit.</summary>
    public static double Matters(Channel channel, Figure figure) => (channel, figure) switch
    {
        (_, Figure.Restlessness) => 40.55, // 1.5 times what it was: 100 ln 1.5
        (_, Figure.LitHours) => 0.5,
        (Channel.TankConductivity, Figure.Level) => 1.98, // 2 %: 100 ln 1.02
        (Channel.TankConductivity, Figure.Slope) => 0.5,
        (Channel.TankConductivity, _) => 1,
        (Channel.TankTemperature, Figure.Level) => 0.3,
        (Channel.TankTemperature, Figure.Slope) => 0.1,
        (Channel.TankTemperature, _) => 0.3,
        (_, Figure.Slope) => 100,
        _ => 500,
    };
}
