using System.CommandLine;
using Evenwater.Calibrating;
using Evenwater.Control;
using Evenwater.Core.Calibration;
using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;
using Evenwater.Hardware;
using Evenwater.Keeping;
using Evenwater.Options;

namespace Evenwater.Commands;

/// <summary>evenwater calibrate: guided, on a terminal or by options; what it comes to goes into the keeper's book, and from there over the station file.</summary>
internal static class CalibrateCommand
{
    public static Command Create()
    {
        var station = new Argument<string>("station") { Description = StationArgument.Description };
        var probe = new Argument<string?>("probe") { Description = $"one of {CalibratedProbe.Names}; both: the two conductivity probes in one cup", Arity = ArgumentArity.ZeroOrOne };
        var standard = new Option<string[]>("--standard") { Description = $"what is in the cup, once or twice: {Standards.Names}", HelpName = "NAME", AllowMultipleArgumentsPerToken = true };
        var tolerance = new Option<double>("--tolerance") { Description = "what the standard's label allows, percent either way; 1 if not said", DefaultValueFactory = _ => 1 };
        var nominal = new Option<double?>("--nominal") { Description = "what the probe was sold as: 0.1, 1 or 10 1/cm; the nearest to its present constant if not said" };
        var ice = new Option<bool>("--ice") { Description = "a thermometer in crushed ice and water" };
        var reference = new Option<double?>("--reference") { Description = "a thermometer beside a good one that reads so much, °C" };
        var referenceSd = new Option<double>("--reference-sd") { Description = "how well that one is known, 1-sigma, °C; 0.1 if not said", DefaultValueFactory = _ => 0.1 };
        var litres = new Option<double[]>("--litres") { Description = "load-cell, level: volumes in the vessel, one after the other, each told from empty; 0 first", AllowMultipleArgumentsPerToken = true };
        var litresSd = new Option<double>("--litres-sd") { Description = "how well each is known, 1-sigma, L; 0.01 if not said", DefaultValueFactory = _ => 0.01 };
        var celsius = new Option<double>("--water-celsius") { Description = "load-cell: temperature of that water, which must be fresh, °C; 20 if not said", DefaultValueFactory = _ => 20 };
        var millilitres = new Option<double?>("--millilitres") { Description = "drops: what was collected, mL" };
        var drops = new Option<double?>("--drops") { Description = "drops: how many that were; the counter counts if not said" };
        var check = new Option<bool>("--check") { Description = "conductivity: how far the probe has fouled and drifted, before and after cleaning and in one standard; changes nothing" };
        var meterBefore = new Option<double?>("--meter-before") { Description = "with --check: a second meter beside the probe before cleaning, µS/cm at 25 °C" };
        var meterAfter = new Option<double?>("--meter-after") { Description = "with --check: and after; on a terminal asked for when it is time" };
        var cup = new Option<double>("--simulated-cup") { Description = "a simulated station's cups are this warm, °C; 22 if not said", DefaultValueFactory = _ => 22 };
        var by = new Option<string?>("--by") { Description = "who does it; the user's name if not said", HelpName = "NAME" };
        var note = new Option<string?>("--note") { Description = "a word for the book" };
        var due = new Option<int?>("--due-days") { Description = "when it is due again, days: 90 for conductivity and drops, 365 for a thermometer, 30 for both, 180 for scale and level if not said; 1 after a check that says to calibrate now" };
        var yes = new Option<bool>("--yes") { Description = "write what it comes to without asking" };
        var history = new Option<bool>("--history") { Description = "list what was calibrated and checked, and what each came to" };
        var review = new Option<string?>("--review") { Description = "write the cell's readings between its last check and what was before, with fouling and drift taken out, as CSV; for you to look at, nothing decides by it", HelpName = "FILE" };
        var undo = new Option<bool>("--undo") { Description = "take the probe's last calibration back; what held before holds again. The book keeps both" };
        var command = new Command("calibrate", "Calibrate a probe by standards, ice, a good thermometer or known volumes; guided.")
        {
            station, probe, standard, tolerance, nominal, ice, reference, referenceSd, litres, litresSd, celsius, millilitres, drops, check, meterBefore, meterAfter, cup, by, note, due, yes, history, review, undo,
        };
        command.SetAction((parse, stop) => PenAndPaper.WithWordsAsync(() => RunAsync(parse.GetValue(station)!, new CalibrateAsk
        {
            Probe = parse.GetValue(probe),
            Standards = parse.GetValue(standard) ?? [],
            TolerancePercent = parse.GetValue(tolerance),
            NominalPerCm = parse.GetValue(nominal),
            Ice = parse.GetValue(ice),
            ReferenceCelsius = parse.GetValue(reference),
            ReferenceSd = parse.GetValue(referenceSd),
            Litres = parse.GetValue(litres) ?? [],
            LitresSd = parse.GetValue(litresSd),
            WaterCelsius = parse.GetValue(celsius),
            Millilitres = parse.GetValue(millilitres),
            Drops = parse.GetValue(drops),
            Check = parse.GetValue(check),
            MeterBefore = parse.GetValue(meterBefore),
            MeterAfter = parse.GetValue(meterAfter),
            SimulatedCupCelsius = parse.GetValue(cup),
            By = parse.GetValue(by) ?? WhoAsks.Name,
            Note = parse.GetValue(note) ?? "",
            DueDays = parse.GetValue(due),
            Yes = parse.GetValue(yes),
            History = parse.GetValue(history),
            Undo = parse.GetValue(undo),
            Review = parse.GetValue(review),
        }, stop)));
        return command;
    }

    private static async Task<int> RunAsync(string argument, CalibrateAsk ask, CancellationToken stop)
    {
        var reading = StationArgument.Read(argument);
        if (reading.Station is not { } file)
        {
            return Exit.Wrong(argument, reading.Problems);
        }

        using var broken = new BrokenOff(
            Console.Error.WriteLine,
            $"\nBroken off: nothing was calibrated at {file.Name}, and the former calibration stays. A probe that is in a cup goes back into its own water.",
            $"\nBroken off, but the calibration was handed to the book already: whether it stands tells 'evenwater calibrate {file.Name} --history'.",
            stop, CupGuide.PutBack(file));
        ask = Console.IsInputRedirected ? ask : ask.Completed(file, Answer);
        if (ask.Asked(file, atTerminal: !Console.IsInputRedirected) is { } wrong)
        {
            return Exit.Wrong(wrong.ToString());
        }

        var book = PenAndPaper.BookOf(file.Name).Book;
        if (ask.History)
        {
            var lines = book is null ? [] : CalibrationText.History(book, ask.Known, TimeZoneInfo.Local).ToList();
            return Exit.Tell(true, lines.Count > 0 ? string.Join('\n', lines) : $"{(ask.Known is { } probe ? $"Of {probe.Name} nothing" : "Nothing")} was calibrated at {file.Name} yet.");
        }

        if (ask.Review is { } review)
        {
            var (text, problem) = KeptLog.Find(null) is { } log ? DriftFile.Of(log.Folder, file.Name, ask.Known!, Calibrations.Standing(book), TimeZoneInfo.Local) : (null, "There is no log to look into.");
            if (text is null)
            {
                return Exit.Tell(false, problem!);
            }

            return await WriteAsync(review, text);
        }

        if (ask.Undo)
        {
            return book?.Written.LastOrDefault(n => n.Calibration is { Values.Count: > 0 } made && made.Probe == ask.Probe) is { } last
                ? await PenAndPaper.WriteAsync(file.Name, new Note { Kind = NoteKind.Calibration, Corrects = last.Id, Withdrawn = true, By = ask.By, Text = ask.Note })
                : Exit.Tell(false, $"--undo: no calibration of {ask.Probe} stands in the book of {file.Name}. 'evenwater calibrate {file.Name} --history' lists them.");
        }

        var standing = Calibrations.Standing(book);
        var station = CalibrationsInForce.Over(file, standing, out var leftOut);
        foreach (var why in leftOut)
        {
            Console.WriteLine(why);
        }

        var (found, exit) = await FoundAsync(station, file, standing, ask);
        return found is null ? exit : await KeepAsync(station, file, ask, found, broken);
    }

    /// <summary>Writes the corrected record where it is wanted.</summary>
    internal static async Task<int> WriteAsync(string review, string text)
    {
        try
        {
            await File.WriteAllTextAsync(review, text);
            return Exit.Tell(true, $"{review}: the readings as they were, without fouling, and without fouling and drift. What was decided was decided by the first.");
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return Exit.Wrong($"--review = {review}: can not be written: {e.Message} Name another place.");
        }
    }

    /// <summary>Goes through it on the daemon's probes, or on our own under the state lock.</summary>
    private static async Task<(Found? Found, int Exit)> FoundAsync(Station station, Station file, IReadOnlyList<CalibrationRecord> standing, CalibrateAsk ask)
    {
        var phase = await AskCommands.AnswerAsync(new ControlAsk("phase", station.Name));
        if ((phase is { Ok: false } ? phase.Text : ServedFile.Otherwise(file, phase?.Served)) is { } why)
        {
            return (null, Exit.Tell(false, $"Refused: {why} Nothing was calibrated."));
        }

        var holder = "";
        using var held = phase is null ? StateLock.Take(Places.MakeState(demo: false), out holder) : null;
        if (phase is null && held is null)
        {
            return (null, Exit.Tell(false, $"The station's hardware is in use by {holder}, which does not answer on the daemon's socket: another calibration is being made, or see whether it still runs. Nothing was calibrated."));
        }

        var (opened, problem) = Reach(station, file, throughDaemon: phase is not null);
        using var probes = opened;
        if (probes is null)
        {
            return (null, Exit.Tell(false, problem!));
        }

        // Drops are counted in a run, and stand in no cup.
        await using var led = phase is null || ask.Known == CalibratedProbe.Drops ? null : new LedInCup(station.Name, ask.By, AskCommands.AnswerAsync);
        var outcome = await new CalibrateGuide(station, probes, standing, Console.WriteLine, WaitAsync, Console.IsInputRedirected ? null : Answer).RunAsync(ask);
        return outcome.Found is { } found ? (found, Exit.Fine) : (null, Exit.Tell(false, $"Refused: {outcome.Refusal}"));
    }

    private static (ILiveProbes? Probes, string? Problem) Reach(Station station, Station file, bool throughDaemon)
    {
        try
        {
            // A simulated rig is what the file says; what was calibrated since is the program's view of it.
            return (throughDaemon ? new DaemonProbes(station, AskCommands.AnswerAsync) : OwnProbes.Open(file), null);
        }
        catch (Exception e) when (e is GpioChipException or DllNotFoundException or TypeInitializationException or IOException)
        {
            return (null, $"The probes of {file.Name} can not be reached: {e.Message}");
        }
    }

    private static async Task<int> KeepAsync(Station station, Station file, CalibrateAsk ask, Found found, BrokenOff broken)
    {
        var now = PenAndPaper.Clock(file.Name).GetLocalNow(); // a simulated station's readings have its own time, and a review looks for those since
        var outcome = ask.Record(found, now).Checked();
        if (outcome.Found is not { } record)
        {
            return Exit.Wrong(outcome.Refusal.ToString()!);
        }

        if (CalibrationsInForce.With(station, record, out var why) is null)
        {
            return Exit.Tell(false, $"Refused: {why} The former calibration stays.");
        }

        Console.WriteLine($"{record.Probe}: {record.Note}");
        foreach (var line in CalibrationText.Changes(record.Values))
        {
            Console.WriteLine(line);
        }

        if (!ask.Yes)
        {
            Console.WriteLine("Write it into the book? [y/n]");
            if (Console.ReadLine()?.Trim() is not ("y" or "Y" or "yes"))
            {
                return Exit.Tell(false, "Not written; the former calibration stays.");
            }
        }

        var standing = Calibrations.Standing(PenAndPaper.BookOf(file.Name).Book);
        if (Calibrations.Meanwhile(station, CalibrationsInForce.Over(file, standing, out _), found) is { } meanwhile)
        {
            return Exit.Tell(false, $"Not written: while this was made, another calibration was written or taken back ({meanwhile}), and this rests on what held before. That one stays; calibrate anew.");
        }

        return broken.MayAsk()
            ? await PenAndPaper.WriteAsync(station.Name, new Note { Kind = NoteKind.Calibration, By = ask.By, Text = ask.Note, Calibration = record }, file)
            : Exit.Bad;
    }

    private static string Answer(string question)
    {
        Console.WriteLine(question);
        return Console.ReadLine() ?? "";
    }

    private static async Task WaitAsync(string doing)
    {
        Console.WriteLine($"{doing} Then press Enter.");
        _ = await Console.In.ReadLineAsync();
    }
}
