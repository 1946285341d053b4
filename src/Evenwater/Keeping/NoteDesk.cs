using Evenwater.Control;
using Evenwater.Core.Keeping;
using Evenwater.Log;
using Evenwater.Photographs;
using Evenwater.Running;

namespace Evenwater.Keeping;

/// <summary>The running daemon's pen: one note after another, each on the disk before it is answered. Decides nothing, opens and closes nothing.</summary>
internal sealed class NoteDesk(NightLog log, StationDirectory directory) : IDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(5);

    private readonly SemaphoreSlim _pen = new(1);

    /// <summary>Told of a station in whose book something about a calibration has changed; says from when on that holds.</summary>
    public Func<string, string>? Calibrated { get; init; }

    /// <summary>Where the photographs are that a note may name; null: not looked at.</summary>
    public PhotographFolder? Photographs { get; init; }

    public void Dispose() => _pen.Dispose();

    /// <summary>What is found at the release is of the run that has just ended, and of its animals.</summary>
    private static Note OfRun(Note wanted, StationLoop loop) => wanted is { Corrects: null, Outcome: { Look: Look.Release, Run: null } found } && loop.State.Run is { } run
        ? wanted with { Outcome = found with { Run = run.RunId, Arrival = run.Animals?.Arrival ?? found.Arrival } }
        : wanted;

    /// <summary>Writes a note into the book of a station; null stands for the only one.</summary>
    public async Task<ControlAnswer> WriteAsync(string? station, Note? wanted)
    {
        if (wanted is null)
        {
            return new ControlAnswer(false, "note: nothing to write; send the note with its kind and text.") { NotUnderstood = true };
        }

        if (directory.Find(station) is not { } loop)
        {
            return new ControlAnswer(false, directory.NoSuch(station)) { NotUnderstood = true };
        }

        await _pen.WaitAsync();
        try
        {
            var name = loop.State.Station.Name;
            var draft = Draft.Of(OfRun(wanted, loop), Books.Of(log.Reader, name), name, loop.WallNow, Photographs is { } kept ? kept.Has : null);
            if (draft.Note is { } note)
            {
                loop.Keep(note);
                await log.CommitAsync().WaitAsync(Patience);
                loop.Routine.Take(Books.Of(log.Reader, name));
            }

            var since = draft.Note is { Kind: NoteKind.Calibration } && Calibrated is { } calibrated ? $" {calibrated(name)}" : "";
            return new ControlAnswer(draft.Problems.Count == 0, draft.Text + since) { Problems = draft.Problems, NoteId = draft.Note?.Id };
        }
        catch (Exception e) when (e is IOException or TimeoutException)
        {
            return new ControlAnswer(false, $"The log can not be written just now ({e.Message}). The note waits in memory and is written when the disk is free again; look with 'evenwater journal' before you write it once more.");
        }
        finally
        {
            _pen.Release();
        }
    }
}
