using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Stations;
using Evenwater.Hardware.Rig;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging.Abstractions;

namespace Evenwater.Tests.Running;

/// <summary>A log that was damaged while a run dripped: whatever is wrong with it, the start is refused in words or the station starts closed.</summary>
public sealed class DamagedLogTests(ITestOutputHelper output)
{
    private const int Damages = 150;
    private static readonly DateTimeOffset Evening = new(2026, 1, 10, 20, 0, 0, TimeSpan.Zero);

    [Fact]
    public void However_a_log_is_damaged_the_start_is_refused_in_words_or_begins_closed()
    {
        var station = DemoStation.Read();
        using var folder = new LogFolder();
        using (var log = folder.Open())
        using (var drive = new RigDrive(new SimulatedRig(station, 1, []), new StationState(station), log, MonotonicTime.FromSeconds(1), Evening))
        {
            drive.Begin();
            drive.Go(120);
        }

        var good = File.ReadAllBytes(folder.File);
        Assert.True(StartsClosed(station, good, 0), "the undamaged log was refused");
        var refused = 0;
        for (var seed = 1; seed <= Damages; seed++)
        {
            refused += StartsClosed(station, Damaged(good, new Random(seed)), seed) ? 0 : 1;
        }

        output.WriteLine($"{refused} of {Damages} were refused");
        Assert.InRange(refused, 1, Damages - 1);
    }

    [Fact]
    public void A_damaged_page_is_found_at_the_start_and_the_file_set_aside_a_good_one_is_left()
    {
        using var folder = new LogFolder();
        Assert.Null(DamagedLog.SetAside(folder.Path, Evening));
        using (var log = folder.Open(LogFolder.Quick with { MaxCycles = 10_000, Batch = TimeSpan.FromHours(1) }))
        {
            var night = new Night(log);
            for (var i = 0; i < 2_000; i++)
            {
                night.Add(EntryKind.Event, new EventBody("test", $"entry {i}"));
                night.Cycle();
            }

            log.Flush();
        }

        Assert.Null(DamagedLog.SetAside(folder.Path, Evening));
        var bytes = File.ReadAllBytes(folder.File);
        bytes.AsSpan(4096 * 9, 4096).Fill(0xA5);
        File.WriteAllBytes(folder.File, bytes);
        var told = DamagedLog.SetAside(folder.Path, Evening);
        Assert.Contains("night-damaged-20260110-200000.sqlite", told, StringComparison.Ordinal);
        Assert.False(File.Exists(folder.File));
        Assert.Equal(bytes, File.ReadAllBytes(Path.Combine(folder.Path, "night-damaged-20260110-200000.sqlite")));
        using var anew = folder.Open();
        Assert.Equal(0, anew.LastId);

        // That start fails, because the page's port is taken: the next must know of it all the same, until the new log has it.
        Assert.Equal(told, DamagedLog.SetAside(folder.Path, Evening.AddMinutes(1)));
        DamagedLog.Told(folder.Path);
        Assert.Null(DamagedLog.SetAside(folder.Path, Evening.AddMinutes(2)));

        // Of a full disk an empty word is left.
        File.WriteAllText(folder.File + "-begun-anew", "");
        Assert.Contains("begins tripped", DamagedLog.SetAside(folder.Path, Evening.AddMinutes(3)), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_large_log_is_gone_through_beside_the_stations_and_what_is_found_ends_the_program_and_is_set_aside_by_the_next_start()
    {
        using var folder = new LogFolder();
        using (var log = folder.Open(LogFolder.Quick with { MaxOthers = 100_000, Batch = TimeSpan.FromHours(1) }))
        {
            var night = new Night(log);
            for (var i = 0; i < 3_500; i++)
            {
                night.Add(EntryKind.Event, new EventBody("test", new string('x', 10_000)));
            }

            log.Flush();
        }

        Assert.True(new FileInfo(folder.File).Length > DamagedLog.AtOnceBytes);
        Assert.False(await EndsAsync(folder));
        var good = File.ReadAllBytes(folder.File);

        // The root of an index: no start gets past it, and the examination is not reached.
        using (var connection = LogFile.OpenForReading(folder.Path, 1)) Damage((int)connection.Number("SELECT rootpage FROM sqlite_schema WHERE name = 'entry_of_kind'")!.Value - 1);
        Assert.Null(DamagedLog.SetAside(folder.Path, Evening));
        using (var log = folder.Open()) RefusedStarts.Keep(folder.Path, Assert.Throws<LogUnusableException>(() => Restart.Of(log, DemoStation.Read(), TimeProvider.System)), Evening);
        Assert.Contains("The log was damaged (SQLite Error 11", DamagedLog.SetAside(folder.Path, Evening.AddDays(-1)), StringComparison.Ordinal);
        DamagedLog.Told(folder.Path);
        File.WriteAllBytes(folder.File, good);

        // Amid the pages of events; a start reads none of them.
        Damage(4_000);
        Assert.Null(DamagedLog.SetAside(folder.Path, Evening));
        Assert.True(await EndsAsync(folder));

        // Somebody is quicker and moves it: the next log is none the worse for it.
        File.Move(folder.File, folder.File + ".moved");
        Assert.Null(DamagedLog.SetAside(folder.Path, Evening));
        File.Move(folder.File + ".moved", folder.File);
        Assert.Null(DamagedLog.SetAside(folder.Path, Evening));

        Assert.True(await EndsAsync(folder));
        Assert.Contains("night-damaged-20260110-200000.sqlite", DamagedLog.SetAside(folder.Path, Evening), StringComparison.Ordinal);
        DamagedLog.Told(folder.Path);
        Assert.Null(DamagedLog.SetAside(folder.Path, Evening));
        Assert.False(File.Exists(folder.File));

        void Damage(int page)
        {
            using var file = File.OpenWrite(folder.File);
            file.Seek(4096 * page, SeekOrigin.Begin);
            file.Write(Enumerable.Repeat((byte)0xA5, 4096).ToArray());
        }

        async Task<bool> EndsAsync(LogFolder of)
        {
            using var log = of.Open();
            using var life = new Life();
            using var examination = new LogExamination(log, life, NullLogger<LogExamination>.Instance);
            await examination.StartAsync(TestContext.Current.CancellationToken);
            await examination.ExecuteTask!.WaitAsync(TimeSpan.FromSeconds(60), TestContext.Current.CancellationToken);
            Environment.ExitCode = 0;
            return life.ApplicationStopping.IsCancellationRequested;
        }
    }

    private sealed class Life : IHostApplicationLifetime, IDisposable
    {
        private readonly CancellationTokenSource _stopping = new();

        public CancellationToken ApplicationStarted => default;

        public CancellationToken ApplicationStopped => default;

        public CancellationToken ApplicationStopping => _stopping.Token;

        public void StopApplication() => _stopping.Cancel();

        public void Dispose() => _stopping.Dispose();
    }

    /// <summary>Whether it started; then it was closed.</summary>
    private bool StartsClosed(Station station, byte[] bytes, int seed)
    {
        // A folder of its own: what a refused start leaves open must not meet the next file.
        using var folder = new LogFolder();
        File.WriteAllBytes(folder.File, bytes);
        try
        {
            using var log = folder.Open();
            var restart = Restart.Of(log, station, TimeProvider.System);
            using var drive = new RigDrive(new SimulatedRig(station, 1, []), restart.State, log, restart.Clock.Now, Evening);
            if (restart.WasOpen)
            {
                _ = drive.Loop.Ask(new Asking(Verb.Restarted, "start"));
            }

            drive.Go(3);
            Assert.False(drive.EverOpen, $"seed {seed}: the valve opened");
            return true;
        }
        catch (LogUnusableException e)
        {
            Assert.Contains(folder.File, e.Message, StringComparison.Ordinal);
            Assert.Contains("move", e.Message, StringComparison.Ordinal);
            return false;
        }
        catch (Exception e)
        {
            Assert.Fail($"seed {seed}: {e}");
            return false;
        }
    }

    /// <summary>A block written over, a stretch of zeros, a bit turned over, or the end cut off: what worn cards and power cuts leave behind.</summary>
    private static byte[] Damaged(byte[] good, Random random)
    {
        var bytes = (byte[])good.Clone();
        var at = random.Next(bytes.Length);
        var length = Math.Min(1 << random.Next(13), bytes.Length - at);
        switch (random.Next(4))
        {
            case 0:
                random.NextBytes(bytes.AsSpan(at, length));
                return bytes;
            case 1:
                bytes.AsSpan(at, length).Clear();
                return bytes;
            case 2:
                bytes[at] ^= (byte)(1 << random.Next(8));
                return bytes;
            default:
                return bytes[..at];
        }
    }
}
