using System.CommandLine;
using Evenwater.Control;
using Evenwater.Core;

namespace Evenwater.Commands;

/// <summary>evenwater drawn: tell the running daemon that water was taken out of the vessel by hand.</summary>
internal static class DrawnCommand
{
    private const double JugPercent = 2;

    public static Command Create()
    {
        var station = AskCommands.Station();
        var litres = new Option<double>("--litres") { Description = "how much was taken out, L", Required = true };
        var sd = new Option<double>("--sd-percent") { Description = "how well that is known: a jug 2, by eye 15", DefaultValueFactory = _ => JugPercent };
        var command = new Command("drawn", "Tell that water was just taken out of the vessel by hand, in a run. Opens and closes nothing.") { station, litres, sd };
        command.SetAction((parse, _) => RunAsync(parse.GetValue(station), parse.GetValue(litres), parse.GetValue(sd)));
        return command;
    }

    private static async Task<int> RunAsync(string? station, double litres, double percent)
    {
        if (litres is not (> 0 and <= 2000))
        {
            return Exit.Wrong($"--litres = {litres}: allowed is above 0, to 2000 L. Say what was taken out.");
        }

        return percent is >= 0 and <= 50
            ? await AskCommands.AskAsync(new ControlAsk("drawn", station, Drawn: new Drawn(litres, percent / 100)))
            : Exit.Wrong($"--sd-percent = {percent}: allowed is 0 to 50. A jug is good to 2, by eye to 15.");
    }
}
