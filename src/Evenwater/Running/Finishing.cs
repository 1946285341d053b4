using Evenwater.Core.Telling;

namespace Evenwater.Running;

/// <summary>Who is led through the end of a run just now: meanwhile nobody else goes on with it, or water would run into a vessel that is being emptied.</summary>
/// <param name="time">What it is counted by.</param>
internal sealed class Finishing(TimeProvider time)
{
    private readonly Led _led = new(time);

    /// <summary>Somebody is led through it.</summary>
    public void Say(string by) => _led.Say(by);

    /// <summary>Why nobody goes on with a held run just now, and what to do; or null.</summary>
    public string? WhyNot(string station) => _led.Now is not { } led ? null
        : $"Refused: {led.By} is ending the run of {station} step by step, for {TimeWords.Age(led.Seconds)} now, and the vessel may be empty by this. "
            + $"Ask {led.By}: it can go on {Led.Lasts.TotalSeconds:0} s after that was broken off there (Ctrl-C). Or end it yourself with 'evenwater finish', measure what is in the vessel, and begin another.";
}
