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
    private readonly CancellationTokenSource _closed = new();

    /// <summary>Notes that the log has not written yet, and their numbers in it: they stand in no book, and have their names all the same.</summary>
    private readonly List<(string Station, Note Note, long Entry)> _waiting = [];

    /// <summary>Told of a station in whose book something about a calibration has changed; says from when on that holds.</summary>
    public Func<string, string>? Calibrated { get; init; }

    /// <summary>Where the photographs are that a note may name; null: not looked at.</summary>
    public PhotographFolder? Photographs { get; init; }

    public void Dispose()
    {
        _closed.Cancel();
        _closed.Dispose();
        _pen.Dispose();
    }

    /// <summary>What is found at the release is of the run that has just ended, and of its animals; but of other animals, where the note says so.</summary>
    private static Note OfRun(Note wanted, StationLoop loop, Book book)
    {
        if (wanted is not { Corrects: null, Outcome: { Look: Look.Release, Run: null } found } || loop.State.Run is not { } run)
        {
            return wanted;
        }

        var named = run.Animals?.Arrival;
        return found.Arrival is { } told && named is not null && book.Find(told) != book.Find(named) ? wanted : wanted with { Outcome = found with { Run = run.RunId, Arrival = named ?? found.Arrival } };
    }

    /// <summary>The book with what waits to be written into it.</summary>
    private Book BookOf(string station)
    {
        _waiting.RemoveAll(one => one.Entry <= log.LastId);
        return Book.Of(Books.Notes(log.Reader, station).Concat(_waiting.Where(one => one.Station == station).Select(one => one.Note)));
    }

    private static ControlAnswer Waits(string why) =>
        new(false, $"The log can not be written just now ({why}). The note waits in memory and is written when the disk is free again; look with 'evenwater journal' before you write it once more.");

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
            var book = BookOf(name);
            var draft = Draft.Of(OfRun(wanted, loop, book), book, name, loop.WallNow, Photographs is { } kept ? kept.Has : null);
            if (draft is { Note: null, Problems.Count: 0 } && _waiting.Count > 0)
            {
                return Waits("it was tried before");
            }

            if (draft.Note is { } note)
            {
                if (loop.Keep(note) is not (> 0 and var entry))
                {
                    return new ControlAnswer(false, "The log can not be written, and so much waits for it already that the note was not taken. Make room on the disk, then write it once more.");
                }

                _waiting.Add((name, note, entry));
                try
                {
                    await log.CommitAsync().WaitAsync(Patience);
                }
                catch (Exception e) when (e is IOException or TimeoutException)
                {
                    _ = HoldOnceWrittenAsync(name, note, entry);
                    return Waits(e.Message);
                }
            }

            var since = draft.Note is { } written ? Hold(name, written) : "";
            return new ControlAnswer(draft.Problems.Count == 0, draft.Text + since) { Problems = draft.Problems, CanNotBe = draft.Problems.Count > 0, NoteId = draft.Note?.Id };
        }
        catch (Exception e) when (e is IOException or TimeoutException)
        {
            return Waits(e.Message);
        }
        finally
        {
            _pen.Release();
        }
    }

    /// <summary>Has the station go by a note that is in the log; says from when on, where that is worth telling. For who holds the pen.</summary>
    private string Hold(string station, Note written)
    {
        directory.Find(station)?.Routine.Take(BookOf(station));
        return written is { Kind: NoteKind.Calibration } && Calibrated is { } calibrated ? $" {calibrated(station)}" : "";
    }

    /// <summary>The same of a note that waits for the disk, which a worn card may take longer for than anybody waits: or the station would not go by it before the next start.</summary>
    private async Task HoldOnceWrittenAsync(string station, Note note, long entry)
    {
        try
        {
            await log.WaitAfterAsync(entry - 1, _closed.Token);
            await _pen.WaitAsync(_closed.Token);
        }
        catch (Exception e) when (e is OperationCanceledException or ObjectDisposedException)
        {
            return; // the next start goes by it
        }

        try
        {
            _ = Hold(station, note);
        }
        catch (Exception e)
        {
            directory.Note(station, "note-not-held", $"Note {note.Id} was written late, and the book can not be read to go by it ({e.Message}). Start the program anew; until then routine and calibrations are as before it.");
        }
        finally
        {
            _pen.Release();
        }
    }
}
