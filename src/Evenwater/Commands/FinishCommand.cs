using System.CommandLine;
using Evenwater.Control;

namespace Evenwater.Commands;

/// <summary>evenwater finish: end a run, with what to do before the animals are released and how they are.</summary>
internal static class FinishCommand
{
    public static Command Create()
    {
        var station = new Argument<string?>("station") { Description = "the station's name; may be left out when there is only one", Arity = ArgumentArity.ZeroOrOne };
        var alive = new Option<int?>("--alive") { Description = "animals alive, kept in the log" };
        var dead = new Option<int?>("--dead") { Description = "animals dead, kept in the log" };
        var command = new Command("finish", "End a run: closes, says what to do before release, keeps the count.") { station, alive, dead };
        command.SetAction((parse, _) => RunAsync(parse.GetValue(station), parse.GetValue(alive), parse.GetValue(dead)));
        return command;
    }

    private static async Task<int> RunAsync(string? station, int? alive, int? dead)
    {
        if (alive is < 0 or > 100_000 || dead is < 0 or > 100_000)
        {
            return Exit.Wrong($"--alive = {alive}, --dead = {dead}: allowed is 0 to 100000 animals.");
        }

        Console.WriteLine("Before release: lights low. Net the animals over; never pour the vessel's water into the tank.");
        Console.WriteLine("Count them. Refill the tank with matched water. See that heater and filter are covered. Wash your hands.");
        var note = alive is null && dead is null ? null : $"alive {alive?.ToString() ?? "not counted"}, dead {dead?.ToString() ?? "not counted"}";
        return await AskCommands.AskAsync(new ControlAsk("finish", station, Note: note));
    }
}
