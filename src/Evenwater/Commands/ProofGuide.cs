using Evenwater.Control;

namespace Evenwater.Commands;

/// <summary>Leads a keeper through the proof test. The daemon watches and records; this only tells, asks and looks.</summary>
/// <param name="ask">Asks the daemon; null when none answers.</param>
/// <param name="say">Tells the keeper a line.</param>
/// <param name="answer">What the keeper has answered since: yes, no, or nothing yet.</param>
/// <param name="pause">Waits until the next look.</param>
/// <param name="stop">Ctrl-C: the daemon is told that it was broken off.</param>
internal sealed class ProofGuide(Func<ControlAsk, Task<ControlAnswer?>> ask, Action<string> say, Func<bool?> answer, Func<Task> pause, CancellationToken stop = default)
{
    private static readonly TimeSpan LookEvery = TimeSpan.FromMilliseconds(400);

    /// <summary>The same on a terminal.</summary>
    public static async Task<int> OnTerminalAsync(string? station, string by, CancellationToken stop)
    {
        return Console.IsInputRedirected
            ? Exit.Wrong("A proof test is done by hand, on a terminal.")
            : await new ProofGuide(AskCommands.AnswerAsync, Console.WriteLine, Key, () => Task.Delay(LookEvery), stop).RunAsync(station, by);
    }

    /// <summary>Goes through it. Exit code 0: every part held; 1: not, or interrupted; 2: no daemon.</summary>
    public async Task<int> RunAsync(string? station, string by)
    {
        say("The proof test: plain water, no animals in the vessel, a cup under the hose, each probe in its water, somebody beside it. At most ten minutes.");
        say("y answers yes; n answers no, and gives up a part that the program does not see. Ctrl-C interrupts: then nothing is recorded as done.");
        var (told, done) = ("", "");
        for (var note = $"begin {by}"; ;)
        {
            if (await ask(new ControlAsk("proof", station, Note: note)) is not { } answered)
            {
                return Exit.Wrong("No daemon answers, and the daemon is what watches. Start it with 'evenwater serve' and run this as the same user.");
            }

            var lines = answered.Text.Split('\n');
            if (lines is not ["wait" or "ask" or "passed" or "failed" or "interrupted", var part, var text, var results])
            {
                return AskCommands.Told(answered with { Text = lines[^1] });
            }

            if (note == "stop" && lines[0] != "passed")
            {
                return Exit.Tell(false, text);
            }

            var justDone = results.Length > done.Length;
            if (justDone)
            {
                say($"  ok: {results[done.Length..].TrimStart(',', ' ')}");
                done = results;
            }

            if (lines[0] is "passed" or "failed" or "interrupted")
            {
                return Exit.Tell(lines[0] == "passed", lines[0] switch
                {
                    "passed" => $"{text} It is in the log, with its date and {by}.",
                    "failed" => $"{text}\nUntil it passes no run may be left alone.",
                    _ => text,
                });
            }

            // The words are as old as the last cycle: with a part that is just done they may still be the former one's.
            if (text.Length > 0 && text != told && !justDone)
            {
                say($"{part}: {text}{(lines[0] == "ask" ? " [y/n]" : "")}");
                told = text;
            }

            await pause();
            note = stop.IsCancellationRequested ? "stop" : answer() switch { true => "yes", false => "no", null => "look" };
        }
    }

    private static bool? Key()
    {
        bool? answer = null;
        while (Console.KeyAvailable)
        {
            answer = Console.ReadKey(intercept: true).Key switch { ConsoleKey.Y => true, ConsoleKey.N => false, _ => answer };
        }

        return answer;
    }
}
