using Evenwater.Control;
using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;

namespace Evenwater.Running;

/// <summary>What can be asked over the daemon's own socket, verb by verb.</summary>
internal static class SocketVerbs
{
    /// <summary>What the station's next turn answers; a restart is nobody's to ask.</summary>
    private static readonly Verb[] Asked =
        [Verb.Begin, Verb.Close, Verb.Reset, Verb.Finish, Verb.Drawn, Verb.Acknowledge, Verb.Shelve, Verb.Unshelve, Verb.Retire, Verb.Return];

    private static readonly string All = $"{string.Join(", ", Asked.Select(Words.Of))}, alarms, proof, phase, readings, raw, release, note, cup, in-cup, status";

    /// <summary>Obeys a line from the control socket, or what is asked by somebody else.</summary>
    public static Task<ControlAnswer> ObeyAsync(this StationDirectory directory, ControlAsk ask, string by = "socket")
    {
        return ask.Verb switch
        {
            "status" => Task.FromResult(Status(directory, ask)),
            "alarms" => Task.FromResult(Alarms(directory, ask)),
            "phase" => Of(Begins),
            "in-cup" => Of(loop => Lead(loop, ask.Note)),
            "release" => Of(loop => Release(loop, ask.Note)),
            "readings" => Of(loop => new ControlAnswer(loop.DevicesMissing is null, loop.DevicesMissing ?? $"The readings of {loop.State.Station.Name}.", ControlReading.Of(loop.Shown.Readings))),
            "raw" => Of(loop => Standing(loop.Shown) with { Raw = RawReading.Of(loop.Shown.Raw), Drops = loop.Shown.Drops }),
            "cup" => Of(loop => PutInCup(loop, ask)),
            "proof" => Of(loop => loop.Proof.Obey(ask.Note ?? "look")),
            _ when Array.Find(Asked, verb => Words.Of(verb) == ask.Verb) is var verb and not Verb.None => AskAsync(directory, ask, verb, by),
            _ => Task.FromResult(NotUnderstood($"verb: \"{ask.Verb}\" is not one of {All}.")),
        };

        Task<ControlAnswer> Of(Func<StationLoop, ControlAnswer> answer) => Task.FromResult(directory.Find(ask.Station) is { } loop ? answer(loop) : Absent(directory, ask.Station));
    }

    private static async Task<ControlAnswer> AskAsync(StationDirectory directory, ControlAsk ask, Verb verb, string by)
    {
        if (verb == Verb.Drawn && ask.Drawn is not { Litres: > 0, RelativeSd: >= 0 and <= 1 })
        {
            return NotUnderstood("drawn: say how many litres, more than 0, and how well they are known, as a fraction of 0 to 1.");
        }

        var (alarm, problem) = AlarmAsk.Concerns(verb) ? AlarmAnswers.Read(verb, ask) : (default, null);
        if (problem is not null)
        {
            return NotUnderstood(problem);
        }

        if (verb == Verb.Close && ask.Station is null && directory.Names.Any())
        {
            return await CloseAllAsync(directory, by);
        }

        if (directory.Find(ask.Station) is null && (verb != Verb.Close || directory.Coming(ask.Station) is null))
        {
            return Absent(directory, ask.Station) with { NotUnderstood = directory.IsUnknown(ask.Station) };
        }

        var asking = new Asking(verb, by, verb == Verb.Begin ? ask.Known ?? new StartKnown() : null, ask.Drawn ?? default, alarm) { GoesOn = ask.GoesOn };
        var answer = await directory.AskAsync(ask.Station, asking, CancellationToken.None);
        if (answer.Obeyed && verb == Verb.Finish && ask.Note is { } animals)
        {
            directory.Find(ask.Station)?.Note("animals", animals);
        }

        return new ControlAnswer(answer.Obeyed, answer.Text);
    }

    /// <summary>Who says close and names no station means whatever runs.</summary>
    private static async Task<ControlAnswer> CloseAllAsync(StationDirectory directory, string by)
    {
        var answers = await Task.WhenAll(directory.Names.Select(name => directory.AskAsync(name, new Asking(Verb.Close, by), CancellationToken.None)));
        return new ControlAnswer(answers.All(answer => answer.Obeyed), string.Join('\n', answers.Select(answer => answer.Text)));
    }

    /// <summary>The station of that name, or all in the order of their names where none was named.</summary>
    private static IEnumerable<StationLoop> Named(StationDirectory directory, string? station) =>
        directory.Loops.Where(loop => station is null || loop == directory.Find(station)).OrderBy(loop => loop.State.Station.Name, StringComparer.Ordinal);

    private static ControlAnswer Status(StationDirectory directory, ControlAsk ask)
    {
        var text = string.Join('\n', Named(directory, ask.Station).Select(StatusText.Of).Concat(directory.Awaited(ask.Station)));
        return text.Length > 0 ? new ControlAnswer(true, text) : Absent(directory, ask.Station);
    }

    private static ControlAnswer Alarms(StationDirectory directory, ControlAsk ask)
    {
        var text = string.Join("\n\n", Named(directory, ask.Station).Select(loop => ask.Note == "all"
            ? AlarmsText.All(loop.State.Station.Name, loop.Shown.Alarms)
            : AlarmsText.Of(loop.State.Station.Name, loop.Shown.Alarms, loop.WallNow)));
        return text.Length > 0 ? new ControlAnswer(true, string.Join("\n\n", directory.Awaited(ask.Station).Prepend(text))) : Absent(directory, ask.Station);
    }

    /// <summary>What ends the run step by step; who names himself is led through it.</summary>
    private static ControlAnswer Release(StationLoop loop, string? by)
    {
        if (by is not null)
        {
            loop.Finishing.Say(Page.Plain.Line(by));
        }

        return new ControlAnswer(loop.ReleaseSteps.Count > 0, string.Join('\n', loop.ReleaseSteps)) { Arrival = loop.State.Run?.Animals?.Arrival };
    }

    /// <summary>Who names himself is led through a calibration or a matching; nobody: it is over.</summary>
    private static ControlAnswer Lead(StationLoop loop, string? by)
    {
        loop.InCup.Say(by is null ? null : Page.Plain.Line(by));
        return Standing(loop.Shown);
    }

    /// <summary>Where it stands, and what a begin would be refused for.</summary>
    private static ControlAnswer Begins(StationLoop loop) => Standing(loop.Shown) with
    {
        NotAlone = MayBegin.WhyNotAlone(loop.State.Station, MayBegin.HeldLitres(loop.Shown.Phase, loop.State.Run), loop.Proof),
        Finishing = loop.InCup.WhyNot(loop.State.Station.Name) ?? (loop.Shown.Phase == Phase.Holding ? loop.Finishing.WhyNot(loop.State.Station.Name) : null),
    };

    private static ControlAnswer Standing(Shown shown) => new(true, Words.Of(shown.Phase)) { Phase = shown.Phase };

    /// <summary>In a simulated station the keeper's hands are simulated too; they move no probe while a run is on.</summary>
    private static ControlAnswer PutInCup(StationLoop loop, ControlAsk ask)
    {
        if (loop.Hands is not { } hands)
        {
            return new ControlAnswer(false, "Only a person can do that.");
        }

        if (loop.Shown.Phase is Phase.Armed or Phase.Dripping or Phase.Holding or Phase.Tripped)
        {
            return new ControlAnswer(false, $"{loop.State.Station.Name} has a run: its probes stay where they are.");
        }

        return hands.Do(ask.Note ?? "") is { } done ? new ControlAnswer(true, done) : NotUnderstood($"cup: \"{ask.Note}\" is not one of {SimulatedHands.Allowed}.");
    }

    /// <summary>Who names a station too early is told to ask again.</summary>
    private static ControlAnswer Absent(StationDirectory directory, string? station) => new(false, directory.NoSuch(station)) { NoSuchStation = directory.IsUnknown(station) };

    private static ControlAnswer NotUnderstood(string why) => new(false, why) { NotUnderstood = true };
}
