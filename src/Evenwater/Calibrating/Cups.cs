using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Core.Stations;
using Evenwater.Core.Water;
using Evenwater.Running;

namespace Evenwater.Calibrating;

/// <summary>Puts probes into cups and looks at them until they are steady: the patience that all guides share.</summary>
/// <param name="station">The station as it is calibrated now.</param>
/// <param name="probes">Its probes.</param>
/// <param name="say">Tells the keeper a line.</param>
/// <param name="wait">Tells the keeper what to do, and waits until it is done.</param>
internal sealed class Cups(Station station, ILiveProbes probes, Action<string> say, Func<string, Task> wait)
{
    /// <summary>Longest wait for a probe, s of the station: two and more of the slowest lags that are allowed for, and three minutes of steady readings.</summary>
    public const double PatienceSeconds = 600;

    private const int ToldEvery = 30;
    private const string Reading = "Reading:";
    private static readonly TimeSpan LongestWait = TimeSpan.FromMinutes(20);

    public Station Station => station;

    /// <summary>Why looking ended before its time, whatever the probe; null when it did not.</summary>
    public Problem? Ended { get; private set; }

    public void Say(string text) => say(text);

    /// <summary>Has it done: by simulated hands, or by the keeper.</summary>
    public async Task DoAsync(string hands, string doing)
    {
        if (await probes.DoAsync(hands) is { } done)
        {
            say(done);
        }
        else
        {
            await wait(doing);
        }
    }

    /// <summary>Tells and waits where no hand can help.</summary>
    public Task WaitAsync(string doing) => wait(doing);

    /// <summary>The probe of a cup into a standard at a temperature.</summary>
    public Task DipAsync(bool vessel, ConductivityStandard standard, double simulatedCelsius)
    {
        var which = vessel ? "vessel" : "tank";
        return DoAsync(
            $"{which} {SimulatedHands.Text(StandardConductivity.MicrosiemensPerCm(standard, simulatedCelsius))} {SimulatedHands.Text(simulatedCelsius)}",
            $"Rinse the {which}'s conductivity probe twice with a little of the standard ({Standards.Label(standard)}), then hang it with its thermometer into a fresh cup of it: "
            + "off the walls, no bubbles, covered. Leave the other probe where it is.");
    }

    /// <summary>Looks until it is enough, or patience ends; false then, and when the probes are out of reach or a run has begun, which <see cref="Ended"/> tells.</summary>
    /// <param name="enough">Takes a look, and says whether it is the last.</param>
    /// <param name="inRun">Whether it may be looked in a run as well.</param>
    public async Task<bool> LookAsync(Func<LiveLook, bool> enough, bool inRun = false)
    {
        var (began, first) = (TimeProvider.System.GetTimestamp(), double.NaN);
        while (TimeProvider.System.GetElapsedTime(began) < LongestWait)
        {
            if (await probes.LookAsync() is not { } look)
            {
                say("The daemon gives no readings.");
                Ended = new Problem("the daemon", "gave no readings any more", "a daemon that answers until the end", "See that it runs, then calibrate anew. The former calibration stays.");
                return false;
            }

            if (look.Running && !inRun)
            {
                Ended = new Problem(station.Name, "a run was begun meanwhile", "a station at rest until the end", "Put the probes back into their waters at once, for the run goes by them; calibrate when it is over. The former calibration stays.");
                return false;
            }

            first = double.IsNaN(first) ? look.Seconds : first;
            if (enough(look))
            {
                return true;
            }

            if (look.Seconds - first > PatienceSeconds)
            {
                return false;
            }
        }

        return false;
    }

    /// <summary>Looks until one reading has settled, each sample once; false as <see cref="LookAsync"/>.</summary>
    /// <param name="steadiness">Judges it.</param>
    /// <param name="read">The reading and when it was taken, s; null where there is none: then it begins anew.</param>
    /// <param name="waiting">Told while there is none.</param>
    public Task<bool> SettleAsync(Steadiness steadiness, Func<LiveLook, (double Value, double Seconds)?> read, string waiting = Reading)
    {
        var (told, last) = ((Text: "", Count: 0), double.NaN);
        return LookAsync(look =>
        {
            if (read(look) is not { } reading)
            {
                steadiness.Clear();
                Tell(ref told, waiting, 0, steadiness.Wanted);
                return false;
            }

            if (reading.Seconds != last)
            {
                last = reading.Seconds;
                steadiness.Add(reading.Value);
            }

            Tell(ref told, steadiness.IsSteady ? "Steady." : steadiness.Count < steadiness.Wanted ? Reading : "Still moving; going on.", steadiness.Count, steadiness.Wanted);
            return steadiness.IsSteady;
        });
    }

    /// <summary>Tells how far it is, not each second.</summary>
    public void Tell(ref (string Text, int Count) told, string text, int count, int wanted)
    {
        if (text != told.Text || (count < wanted && count >= told.Count + ToldEvery))
        {
            told = (text, count);
            say(count < wanted && count > 0 ? $"{text} {count} of {wanted}." : text);
        }
    }

    /// <summary>What a cell conducts, µS; null when it does not read, or is unplugged or dry.</summary>
    public static double? Conductance(in RawSamples raw, Channel channel, ConductivityInput? input) =>
        input is not null && raw[channel] is { Reason: Reason.None, Code: >= Calibrate.FewestCounts } ? Calibrate.ConductanceMicrosiemens(raw[channel].Code, input) : null;

    /// <summary>What a thermometer reads, corrected, °C; null when it does not.</summary>
    public static double? Celsius(in RawSamples raw, Channel channel, double offset) =>
        raw[channel].Reason == Reason.None ? Calibrate.UncorrectedCelsius(raw[channel].Code) - offset : null;
}
