using Evenwater.Core.Telling;

namespace Evenwater.Running;

/// <summary>Who is led through a calibration or a matching of probes just now: meanwhile nobody opens the valve, or it would be judged by what is in a cup.</summary>
/// <param name="time">What it is counted by.</param>
internal sealed class InCup(TimeProvider time)
{
    private readonly Led _led = new(time);

    /// <summary>Somebody is led through it; null: it is over.</summary>
    public void Say(string? by)
    {
        if (by is null) _led.End();
        else _led.Say(by);
    }

    /// <summary>Why nothing begins or goes on just now, and what to do; or null.</summary>
    public string? WhyNot(string station) => _led.Now is not { } led ? null
        : $"Refused: {led.By} is calibrating or matching the probes of {station}, for {TimeWords.Age(led.Seconds)} now, and one may be in a cup. Nothing was opened. "
            + $"Ask {led.By}: a run can begin as soon as that has ended, or {Led.Lasts.TotalSeconds:0} s after it was broken off there (Ctrl-C), with each probe back in its own water.";
}
