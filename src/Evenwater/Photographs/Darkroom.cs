using System.ComponentModel;
using System.Diagnostics;
using Evenwater.Core.Stations;

namespace Evenwater.Photographs;

/// <summary>
/// Has pictures redrawn, one at a time, each by a process of its own that is bound in time, memory and rank: a picture made to harm reaches neither the
/// memory of the program that keeps the valve, nor its share of the processor.
/// </summary>
/// <param name="program">This program's own file.</param>
internal sealed class Darkroom(string program) : IDisposable
{
    /// <summary>Largest file that is taken, bytes.</summary>
    public const int MostBytes = 12 * 1024 * 1024;

    /// <summary>Largest redrawn picture, bytes: 1600 by 1600 pixels at a byte each; what is usual is a tenth.</summary>
    public const int MostRedrawnBytes = 2_600_000;

    /// <summary>So long one may take. Our own choice: a small board beside a busy daemon takes about five.</summary>
    internal TimeSpan MostTime { get; init; } = TimeSpan.FromSeconds(30);

    /// <summary>So long one waits for its turn.</summary>
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(20);

    private static readonly string[] Passed = ["DOTNET_ROOT", "DOTNET_ROOT_X64", "DOTNET_ROOT_ARM64", "LD_LIBRARY_PATH"];

    private readonly SemaphoreSlim _one = new(1);

    /// <summary>That of the running program.</summary>
    public static string OwnProgram { get; } = Path.Combine(AppContext.BaseDirectory, "evenwater");

    public void Dispose() => _one.Dispose();

    /// <summary>The redrawn picture, or why there is none.</summary>
    /// <param name="picture">The file, from its beginning to its end, at most <see cref="MostBytes"/>.</param>
    /// <param name="stop">Ends it.</param>
    public async Task<Developed> DevelopAsync(Stream picture, CancellationToken stop)
    {
        if (!await _one.WaitAsync(Patience, stop))
        {
            return Developed.Busy;
        }

        try
        {
            using var process = Process.Start(Start())!;
            try
            {
                return await TalkAsync(process, picture, stop);
            }
            finally
            {
                if (!process.HasExited)
                {
                    process.Kill();
                    await process.WaitForExitAsync(CancellationToken.None);
                }
            }
        }
        catch (Win32Exception e)
        {
            // The system has no room for one more process, or the program's file is just being changed for another.
            return Developed.NotStarted(e.Message);
        }
        finally
        {
            _one.Release();
        }
    }

    /// <summary>Looks at a file's size and first bytes, has it redrawn, and keeps what comes of it.</summary>
    /// <param name="file">The file, which can be read twice.</param>
    /// <param name="folder">Where to keep it.</param>
    /// <param name="stop">Ends it.</param>
    /// <returns>The name of what is kept; or why nothing is.</returns>
    public async Task<(string? Name, Problem? Refusal)> KeepAsync(Stream file, PhotographFolder folder, CancellationToken stop)
    {
        if (file.Length > MostBytes) return (null, Developed.TooLarge(file.Length).Refusal);
        var head = new byte[PictureKinds.HeadBytes];
        file.Position = 0;
        var read = await file.ReadAtLeastAsync(head, head.Length, throwOnEndOfStream: false, stop);
        var kind = PictureKinds.Of(head.AsSpan(0, read));
        if (kind is PictureKind.Other or PictureKind.Heif) return (null, Developed.Unread(kind).Refusal);
        file.Position = 0;
        var developed = await DevelopAsync(file, stop);
        return developed.Jpeg is { } jpeg ? folder.Keep(jpeg) : (null, developed.Refusal);
    }

    private async Task<Developed> TalkAsync(Process process, Stream picture, CancellationToken stop)
    {
        using var late = CancellationTokenSource.CreateLinkedTokenSource(stop);
        late.CancelAfter(MostTime);
        try
        {
            var complaints = process.StandardError.BaseStream.CopyToAsync(Stream.Null, late.Token);
            var taking = TakeAsync(process.StandardOutput.BaseStream, late.Token);
            try
            {
                await picture.CopyToAsync(process.StandardInput.BaseStream, late.Token);
                process.StandardInput.Close();
            }
            catch (IOException)
            {
                // It ended before it had read all; its exit code tells why.
            }

            var jpeg = await taking;
            if (jpeg is null) return Developed.Not(RedrawEnd.Died);
            await process.WaitForExitAsync(late.Token);
            await complaints;
            var end = Enum.IsDefined((RedrawEnd)process.ExitCode) ? (RedrawEnd)process.ExitCode : RedrawEnd.Died;
            return end != RedrawEnd.Fine ? Developed.Not(end) : PlainJpeg.Is(jpeg) ? new Developed(jpeg, null) : Developed.Not(RedrawEnd.Died);
        }
        catch (OperationCanceledException) when (!stop.IsCancellationRequested)
        {
            return Developed.Not(RedrawEnd.TooLong);
        }
    }

    /// <summary>All that comes, or null for more than there can be.</summary>
    private static async Task<byte[]?> TakeAsync(Stream from, CancellationToken stop)
    {
        using var taken = new MemoryStream();
        var part = new byte[64 * 1024];
        while (await from.ReadAsync(part, stop) is > 0 and var read)
        {
            if (taken.Length + read > MostRedrawnBytes) return null;
            await taken.WriteAsync(part.AsMemory(0, read), stop);
        }

        return taken.ToArray();
    }

    private ProcessStartInfo Start()
    {
        var start = new ProcessStartInfo(program, RedrawProcess.Argument)
        {
            RedirectStandardInput = true, RedirectStandardOutput = true, RedirectStandardError = true, UseShellExecute = false, WorkingDirectory = "/",
        };
        var kept = Passed.Select(name => (name, Environment.GetEnvironmentVariable(name))).Where(pair => pair.Item2 is not null).ToList();
        start.Environment.Clear();
        foreach (var (name, value) in kept) start.Environment[name] = value;
        start.Environment["DOTNET_EnableDiagnostics"] = "0";
        start.Environment["DOTNET_GCHeapHardLimit"] = "4000000"; // hexadecimal: 64 MiB; the file is held twice for a moment
        start.Environment["DOTNET_TieredPGO"] = "0";
        return start;
    }
}
