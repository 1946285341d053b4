using Evenwater.Core;

namespace Evenwater.Nights.Plant;

/// <summary>A load cell or a level sensor: a zero that is off, a gain that is a little off, slow creep and noise.</summary>
public sealed class Scale(Scale.Setup setup, Chance chance, double stepSeconds)
{
    private readonly Wander _creep = new(chance, setup.CreepSd, 4 * 3600, stepSeconds);

    /// <summary>How it behaves, in its own unit.</summary>
    public sealed record Setup(double Zero, double Gain, double CreepSd, double NoiseSd, double Step);

    public void Pass() => _creep.Step();

    public Reading Read(double value, MonotonicTime at) =>
        Reading.Of(Math.Round(((value * setup.Gain) + setup.Zero + _creep.Value + (setup.NoiseSd * chance.Gauss())) / setup.Step) * setup.Step, at);
}
