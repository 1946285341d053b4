using System.CommandLine;
using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Core.Telling;
using Evenwater.Hardware.Rig;
using Evenwater.Hardware.Trace;
using Evenwater.Log;
using Evenwater.Options;
using Evenwater.Page;
using Evenwater.Reporting;
using Evenwater.Running;
using Evenwater.Terminal;
using Spectre.Console;

namespace Evenwater.Commands;

/// <summary>evenwater rehearse: a whole night in seconds on the simulated plant.</summary>
internal static class RehearseCommand
{
    public static Command Create()
    {
        var station = new Argument<string>("station") { Description = StationArgument.Description };
        var fault = new Option<string[]>("--fault") { Description = $"what goes wrong, NAME or NAME@TIME (90m, 3h), may be repeated: {string.Join(", ", RigFault.Names)}" };
        var seed = new Option<ulong>("--seed") { Description = "chooses the night; the same seed gives the same night", DefaultValueFactory = _ => 1 };
        var hours = new Option<double>("--hours") { Description = "how long the night is, 0.1 to 48", DefaultValueFactory = _ => 12 };
        var output = new Option<string?>("--out") { Description = "write every forecast to this CSV file" };
        var log = new Option<string?>("--log") { Description = "keep the night's log in this folder" };
        var picture = new Option<string?>("--picture") { Description = "draw the night, as it stood at --picture-at, into this SVG file" };
        var pictureAt = new Option<double>("--picture-at") { Description = "with --picture: hours into the night", DefaultValueFactory = _ => 5 };
        var calm = new Option<bool>("--calm") { Description = "everything as the station file expects, to the letter, but for the probes' own noise: a night to hold against the plan" };
        var command = new Command("rehearse", "A whole night in seconds on the simulated plant, faults included, and a verdict.") { station, fault, seed, calm, hours, output, log, picture, pictureAt };
        command.Validators.Add(result =>
        {
            if (result.GetResult(pictureAt) is { Implicit: false } && result.GetResult(picture) is null)
            {
                result.AddError("--picture-at goes with --picture FILE, and nothing would be drawn without it. Name the file too, or leave both out.");
            }
        });
        command.SetAction(parse => Run(parse.GetValue(station)!, parse.GetValue(fault) ?? [], new Wanted(
            parse.GetValue(seed), parse.GetValue(hours), parse.GetValue(output), parse.GetValue(log), parse.GetValue(picture), parse.GetValue(pictureAt), parse.GetValue(calm)), parse.InvocationConfiguration.Error));
        return command;
    }

    /// <summary>What is wanted of a rehearsal.</summary>
    private sealed record Wanted(ulong Seed, double Hours, string? Output, string? Log, string? Picture, double PictureAt, bool Calm);

    private static int Run(string argument, string[] faultTexts, Wanted wanted, TextWriter error)
    {
        if (StationArgument.Read(argument) is not { Station: { } station } reading)
        {
            return Exit.Wrong(argument, StationArgument.Read(argument).Problems);
        }

        if (wanted.Hours is not (>= 0.1 and <= 48))
        {
            return Exit.Wrong($"--hours = {wanted.Hours}: allowed is 0.1 to 48.");
        }

        if (wanted.Picture is not null && !(wanted.PictureAt > 0 && wanted.PictureAt < wanted.Hours))
        {
            return Exit.Wrong($"--picture-at = {wanted.PictureAt}: allowed is more than 0 and less than --hours, {wanted.Hours}.");
        }

        RigFault[] faults;
        try
        {
            faults = [.. faultTexts.Select(RigFault.Parse)];
        }
        catch (FormatException e)
        {
            return Exit.Wrong($"--fault: {e.Message}.");
        }

        if (faults.Where(fault => fault.AtSeconds >= wanted.Hours * 3600).Select(fault => (RigFault?)fault).FirstOrDefault() is { } late)
        {
            return Exit.Wrong($"--fault = {late}: the night is over after {wanted.Hours} h, and nothing of it would be tried. Allowed: before that. Give it a time, such as @{(wanted.Hours >= 2 ? "1h" : "1m")}, or the night more --hours.");
        }

        if ((OutputFile.Problem("--out", wanted.Output, argument) ?? OutputFile.Problem("--picture", wanted.Picture, argument)) is { } noPlace)
        {
            return Exit.Wrong(noPlace);
        }

        string[] written = [.. new[] { wanted.Output, wanted.Picture, wanted.Log is { } place ? Path.Combine(place, LogFile.Name) : null }.OfType<string>().Select(Path.GetFullPath)];
        if (written.Distinct(StringComparer.Ordinal).Count() < written.Length)
        {
            return Exit.Wrong($"--out, --picture, --log: two of them would be written into {written.GroupBy(file => file).First(same => same.Count() > 1).Key}, one over the other. Name a file for each.");
        }

        if (wanted.Log is { } kept && File.Exists(Path.Combine(kept, LogFile.Name)))
        {
            return Exit.Wrong($"--log {kept}: holds a log already, and one night is not put over another. Name a folder that does not exist.");
        }

        // Any station can be rehearsed: the rig takes the place of its board, and the name says so.
        var simulated = reading.Station! with
        {
            Name = StationRules.IsSimulated(station.Name) ? station.Name : $"{StationRules.SimulatedPrefix}{station.Name}",
            Sensors = station.Sensors with { Source = SensorSource.Simulated },
        };
        try
        {
            using var keep = wanted.Log is null ? null : NightLog.Open(Directory.CreateDirectory(wanted.Log).FullName);
            using var writer = wanted.Output is null ? null : new StreamWriter(wanted.Output);
            var (verdict, drawn) = Rehearse(simulated, faults, wanted, keep, writer);
            Tell(simulated, wanted, faults, verdict);
            if (wanted.Picture is not null && !drawn)
            {
                error.WriteLine($"--picture {wanted.Picture}: nothing was drawn, because from {wanted.PictureAt} h on the program stood still, or no run had begun. Give an earlier --picture-at.");
                return Exit.Bad;
            }

            return verdict.Good ? Exit.Fine : Exit.Bad;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return Exit.Wrong($"Can not write: {e.Message}");
        }
    }

    private static (Verdict Verdict, bool Drawn) Rehearse(Station station, RigFault[] faults, Wanted wanted, NightLog? log, StreamWriter? writer)
    {
        ViewMaker? views = null;
        var drawn = false;
        void Draw(StationLoop loop, StationClock clock, MonotonicTime now)
        {
            var view = (views ??= new ViewMaker(clock)).Make(loop, now);
            if (!drawn && view.NowSeconds >= wanted.PictureAt * 3600 && view.ToleranceMicrosiemensPerCm is not null)
            {
                File.WriteAllText(wanted.Picture!, PictureFile.Of(view));
                drawn = true;
            }
        }

        Action<StationLoop, StationClock, MonotonicTime>? seen = wanted.Picture is null ? null : Draw;
        var file = writer is null ? null : new ForecastFile(writer);
        void Write(StationState state, MonotonicTime now, bool open) =>
            file?.Write(now.Seconds, state.Forecast, open, state.Trip == Trip.None ? null : Words.Of(state.Trip));
        var console = TerminalView.ConsoleFor(Console.Error, Environment.GetEnvironmentVariable("NO_COLOR"), Console.IsErrorRedirected);
        if (Console.IsErrorRedirected)
        {
            var quiet = Rehearsal.Run(station, wanted.Seed, faults, wanted.Hours, log, Write, null, seen, calm: wanted.Calm);
            return (quiet, drawn);
        }

        Verdict? verdict = null;
        console.Progress().AutoClear(true).Start(context =>
        {
            var task = context.AddTask("The night", maxValue: 1);
            verdict = Rehearsal.Run(station, wanted.Seed, faults, wanted.Hours, log, Write, done => task.Value = done, seen, calm: wanted.Calm);
        });
        return (verdict!, drawn);
    }

    private static void Tell(Station station, Wanted wanted, RigFault[] faults, Verdict verdict)
    {
        var console = TerminalView.ConsoleFor(Console.Out, Environment.GetEnvironmentVariable("NO_COLOR"), Console.IsOutputRedirected);
        var mark = station.Vessel.BrimLitres - station.Vessel.FreeboardLitres;
        console.MarkupInterpolated($"[bold]{(verdict.Good ? "A good night." : "Not a good night.")}[/]");
        Console.WriteLine($" Simulated: {station.Name}, {(wanted.Calm ? "calm, " : "")}seed {wanted.Seed}, {(faults.Length == 0 ? "no faults" : string.Join(", ", faults))}.");
        foreach (var line in Lines(verdict.Story))
        {
            Console.WriteLine($"  {line}");
        }

        var form = LitresForm.Of(station.Vessel.BrimLitres);
        Console.WriteLine(Ended(verdict, faults, wanted.Hours, form));
        Console.WriteLine($"Most water in the vessel: {verdict.LitresMost.ToString(form)} L; mark {mark.ToString(form)} L, brim {station.Vessel.BrimLitres.ToString(form)} L; spilled {verdict.SpilledLitres.ToString(form)} L.");
        Console.WriteLine("A simulation, and not a safety device.");
    }

    /// <summary>How it ended, in a sentence.</summary>
    internal static string Ended(Verdict verdict, IReadOnlyList<RigFault> faults, double hours, string litresForm) => verdict switch
    {
        { OpenedAt: null } => "The valve was never opened.",
        { ClosedAt: { } closed, ClosedByPlan: true } => $"Closed as planned after {At(closed)}: vessel {verdict.VesselAtClose:0}, tank {verdict.TankAtClose:0} µS/cm, {verdict.LitresAtClose.ToString(litresForm)} L; {(Replaced(verdict) ?? (verdict.TrulyEvenAtClose ? $"truly even from {At(verdict.TrueMatchAt)}" : verdict.FarFromEven ? "in truth far from even" : "in truth a little short of even"))}.",
        { ClosedAt: { } closed } => $"Closed after {At(closed)} at {verdict.LitresAtClose.ToString(litresForm)} L, vessel {verdict.VesselAtClose:0}, tank {verdict.TankAtClose:0} µS/cm{(Replaced(verdict) is { } replaced ? $", {replaced}" : verdict.TrueMatchAt is null ? ", never even" : $", truly even from {At(verdict.TrueMatchAt)}")}.",
        _ when Silenced(faults) is { } since && since < hours * 3600 => $"Dripping when the program stood still after {At(since)}, for good: what ran in from then on was up to driver, valve, floats and intake.",
        _ => "Still dripping when the night ended.",
    };

    /// <summary>Waters that are alike from the start are even by the share that was replaced.</summary>
    private static string? Replaced(Verdict verdict) => verdict.ReplacedAtClose is { } share ? $"{share:0.00} of the water truly replaced" : null;

    /// <summary>Since when nothing of the program can close, s from the start; null when it lived to the end.</summary>
    private static double? Silenced(IReadOnlyList<RigFault> faults) =>
        faults.Where(fault => fault.Kind is FaultKind.ProcessStops or FaultKind.CycleHangs).Select(fault => (double?)fault.AtSeconds).Min();

    /// <summary>The story line by line. What only repeats itself takes two: the first, and how often more.</summary>
    internal static IEnumerable<string> Lines(IReadOnlyList<(double At, string What)> story)
    {
        foreach (var (first, last, again) in Repeats.Of(story, one => one.What))
        {
            yield return $"{At(first.At)}  {first.What}";
            if (again > 0) yield return $"{At(last.At)}  the same again{(again > 1 ? $", the last of {again} times more" : "")}";
        }
    }

    private static string At(double? seconds) => seconds is { } s ? $"{(int)(s / 3600):00}:{(int)(s / 60) % 60:00}:{(int)s % 60:00}" : "--:--:--";
}
