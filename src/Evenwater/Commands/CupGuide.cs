using Evenwater.Control;
using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Core.Stations;

namespace Evenwater.Commands;

/// <summary>What both probes in one cup came to.</summary>
internal sealed record Cup(double Ratio, double RelativeSd);

/// <summary>The guided minutes before a run: both probes in one cup, their ratio when it is steady, and back into their own waters.</summary>
/// <param name="station">The station.</param>
/// <param name="say">Tells the keeper a line.</param>
/// <param name="wait">Waits until the keeper has done what was said.</param>
internal sealed class CupGuide(Station station, Action<string> say, Action<string> wait)
{
    /// <summary>A look this often, s; the daemon has a new sample each second, a simulated one more often.</summary>
    private double LookSeconds => station.Sensors.Source == SensorSource.Simulated ? 0.05 : 0.5;

    /// <summary>Longest wait for a ratio, or for probes to settle in their own waters.</summary>
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(8);

    /// <summary>By how much a probe that is back in its own water may still move, as a fraction; looked at for as long as in the cup, or a slow cell would be let through.</summary>
    private const double SettledMove = 0.005;

    /// <summary>Goes through it; null, and told why, when it came to nothing.</summary>
    public async Task<Cup?> MatchAsync()
    {
        if (!await MoveAsync(
                "in",
                "Put both conductivity probes, each with its thermometer, into one cup of tank water: off the walls, no bubbles, not touching. Stir once."))
        {
            return null;
        }

        var match = new CupMatch();
        var told = (State: CupState.Steady, Count: 0);
        var found = await LookAsync(readings =>
        {
            var state = match.Step(readings);
            if (state != told.State || (state == CupState.Looking && match.Count % 15 == 0 && match.Count != told.Count))
            {
                told = (state, match.Count);
                say(Words(state, match.Count));
            }

            return state == CupState.Steady;
        });
        Cup? cup = null;
        if (found)
        {
            cup = new Cup(match.Ratio, match.RelativeSd);
            say($"The vessel's probe reads {Signed((cup.Ratio - 1) * 100)} % against the tank's, known to {cup.RelativeSd * 100:0.0} %. The run's readings of the tank are corrected by that.");
        }
        else
        {
            say("Not steady: the run begins with the probes unmatched.");
        }

        return await MoveAsync("out", "Put each probe, with its thermometer, back into its own water.") && await SettleAsync(cup is not null) ? cup : null;
    }

    /// <summary>Has a simulated station's probes taken out of a cup when a guide is broken off: nobody else can, and the next run would be watched by a probe in a standard. Null where a person does it.</summary>
    /// <param name="station">The station.</param>
    public static Action? PutBack(Station station) =>
        station.Sensors.Source == SensorSource.Simulated ? () => _ = AskCommands.AnswerAsync(new ControlAsk("cup", station.Name, Note: "out")) : null;

    /// <summary>With its sign; but for what is told as nothing, which the library writes "-+0.0" where it is a little less.</summary>
    internal static string Signed(double percent) => percent.ToString("0.0") is "-0.0" or "0.0" ? "0.0" : percent.ToString("+0.0;-0.0");

    private async Task<bool> MoveAsync(string where, string doing)
    {
        if (station.Sensors.Source == SensorSource.Simulated)
        {
            var done = await AskCommands.AnswerAsync(new ControlAsk("cup", station.Name, Note: where));
            say(done?.Text ?? "No daemon answers.");
            return done is { Ok: true };
        }

        wait(doing);
        return true;
    }

    /// <summary>A run that began while a probe still settles would take its settling for mixing.</summary>
    /// <param name="matched">Whether the cup came to a ratio.</param>
    private async Task<bool> SettleAsync(bool matched)
    {
        say("Waiting until each probe has settled in its own water.");
        var (vessel, tank) = (new Steadiness(CupMatch.Wanted, SettledMove, CupMatch.SlowestLag), new Steadiness(CupMatch.Wanted, SettledMove, CupMatch.SlowestLag));
        var last = -1.0;
        var settled = await LookAsync(readings =>
        {
            var (one, other) = (readings[Channel.VesselConductivity], readings[Channel.TankConductivity]);
            if (!one.TryGet(out var inVessel) || !other.TryGet(out var inTank))
            {
                vessel.Clear();
                tank.Clear();
            }
            else if (one.TakenAt.Seconds > last)
            {
                last = one.TakenAt.Seconds;
                vessel.Add(Math.Log(inVessel));
                tank.Add(Math.Log(inTank));
            }

            return vessel.IsSteady && tank.IsSteady;
        });
        say(SettledWords(settled, matched));
        return settled;
    }

    /// <summary>How it went. Of a match that is not used after all it was said before that the run goes by it.</summary>
    internal static string SettledWords(bool settled, bool matched) => settled ? "Both have settled."
        : $"They have not settled; look at them before you go on.{(matched ? " What the cup told is not used then: the run begins with the probes unmatched. To match them anew break off and begin again." : "")}";

    private async Task<bool> LookAsync(Func<Readings, bool> enough)
    {
        using var timer = new PeriodicTimer(TimeSpan.FromSeconds(LookSeconds));
        var until = TimeProvider.System.GetTimestamp();
        while (TimeProvider.System.GetElapsedTime(until) < Patience)
        {
            if (await AskCommands.AnswerAsync(new ControlAsk("readings", station.Name)) is not { Readings: { } all })
            {
                say("The daemon gives no readings.");
                return false;
            }

            if (enough(ControlReading.Back(all)))
            {
                return true;
            }

            await timer.WaitForNextTickAsync();
        }

        return false;
    }

    private static string Words(CupState state, int count) => state switch
    {
        CupState.NoReading => "Waiting for a good reading of both probes.",
        CupState.NotOneWater => "They read too far apart to be in one cup; waiting.",
        CupState.NotOneTemperature => "Their thermometers are not in the cup yet, or still settle; waiting.",
        CupState.Looking => $"Reading: {count} of {CupMatch.Wanted}.",
        CupState.Moving => "Their ratio still moves; going on.",
        CupState.Steady => "Steady.",
        _ => throw new ArgumentOutOfRangeException(nameof(state), state, "no words for this state"),
    };
}
