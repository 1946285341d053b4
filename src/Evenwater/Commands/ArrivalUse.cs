using System.CommandLine;
using Evenwater.Core;
using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;
using Evenwater.Keeping;
using Evenwater.Log;
using Microsoft.Data.Sqlite;

namespace Evenwater.Commands;

/// <summary>How plan and begin take an arrival's water in place of what the station file expects.</summary>
internal static class ArrivalUse
{
    /// <summary>The latest of those that are still to be let in.</summary>
    private const string Latest = "";

    public static Option<string?> Option() => new("--arrival")
    {
        Description = "take the water and the animals of this arrival; of the latest that was not released, if no ID is said", HelpName = "ID", Arity = ArgumentArity.ZeroOrOne,
    };

    /// <summary>What was asked: an ID, the latest, or null for none.</summary>
    public static string? Asked(ParseResult parse, Option<string?> option) => parse.GetResult(option) is null ? null : parse.GetValue(option) ?? Latest;

    /// <summary>The station with the arrival's water and the animals, or what is wrong.</summary>
    public static (Station Station, Animals? Animals, string? Problem) On(Station station, string? asked)
    {
        if (asked is null)
        {
            return (station, null, null);
        }

        Book? book;
        string? unread;
        try
        {
            (book, unread) = PenAndPaper.BookOf(station.Name);
        }
        catch (Exception e) when (e is SqliteException or LogUnusableException or IOException)
        {
            return (station, null, $"--arrival: the book of {station.Name} can not be read: {e.Message}. Leave it out, and give the bag's water in the station file.");
        }

        var came = book is null ? null : asked.Length == 0 ? Arrivals.LatestOpen(book) : Arrivals.Find(book, asked);
        if (came is null)
        {
            return (station, null, $"--arrival = {(asked.Length == 0 ? "(the latest)" : asked)}: {unread ?? $"the book of {station.Name} has no such arrival that is still to be let in. Note it: 'evenwater arrival {station.Name} --add SPECIES --count N'; 'evenwater arrival {station.Name}' lists them."}");
        }

        var with = came.Animals.On(station);
        if (StationRules.Check(with) is { Count: > 0 } problems)
        {
            return (station, null, $"--arrival = {came.Note.Id}: {string.Join(' ', problems)}");
        }

        Console.WriteLine($"For arrival {came.Note.Id}: {ArrivalText.Words(came.Animals)}.");
        if (came.Animals.Group is { } group && group != station.Limits.Group)
        {
            var limits = station.Limits.Group is { } set ? AnimalGroups.Name(set) : "no group";
            Console.WriteLine($"The arrival is of {AnimalGroups.Name(group)}, the limits of {station.Name} are for {limits}: what closes the valve goes by the station file. Change limits.group there if it should be this.");
        }

        return (with, new Animals(came.Animals.Count, came.Animals.Grams, came.Note.Id), null);
    }
}
