using System.Diagnostics;
using System.Globalization;
using System.IO.Compression;
using Evenwater.Log;
using Evenwater.Tests.Daemon;
using Evenwater.Tests.Log;
using Microsoft.Data.Sqlite;

namespace Evenwater.Tests.Exporting;

/// <summary>The commands as a person runs them: wrong use, compressed files, memory.</summary>
public sealed class ExportCommandTests : IDisposable
{
    private readonly ProgramUnderTest _program = new();
    private readonly ExportedLog _log = new();

    public void Dispose()
    {
        _program.Dispose();
        _log.Dispose();
    }

    private string Out(string name) => Path.Combine(_program.Folder, name);

    [Fact]
    public async Task What_is_exported_compressed_is_imported_again()
    {
        var folder = _log.Fill(200).Folder.Path;
        var exported = await _program.CallAsync("export", "--log", folder, "--out", Out("night.gz"), "--as", "log");
        Assert.Equal(("211 entries written.\n", 0), (exported.Error, exported.Exit));
        var called = await _program.CallAsync("import", "--log", Out("copy"), Out("night.gz"));
        Assert.Equal(("211 entries imported", 0), (called.Out[..20], called.Exit));
        using var plain = new StreamReader(new GZipStream(File.OpenRead(Out("night.gz")), CompressionMode.Decompress));
        Assert.Equal(await plain.ReadToEndAsync(TestContext.Current.CancellationToken), ExportedLog.Whole(Out("copy")));
    }

    [Fact]
    public async Task Wrong_use_says_what_there_is_and_leaves_no_file()
    {
        var folder = _log.Fill(60).Folder.Path;
        await File.WriteAllTextAsync(Out("there.csv"), "kept", TestContext.Current.CancellationToken);
        foreach (var (args, said) in new (string[], string[])[]
        {
            (["--out", Out("x"), "--as", "csv", "--station", "nowhere"], ["--station = nowhere", "sim-lagoon, sim-river"]),
            (["--out", Out("x"), "--as", "csv", "--channels", "vessel_colour"], ["no channel vessel_colour", "vessel_temperature"]),
            (["--out", Out("x"), "--as", "csv", "--from", "2026-03-15", "--to", "2026-03-14"], ["--to must be later"]),
            (["--out", Out("x"), "--as", "csv", "--from", "yesterday"], ["--from = yesterday", "2026-03-14T20:00:00Z"]),
            (["--out", Out("x"), "--as", "paper"], ["--as = paper", "csv, senml, line, log"]),
            (["--out", Out("x"), "--as", "log", "--station", "sim-river"], ["complete"]),
            (["--out", Out("there.csv"), "--as", "csv"], ["exists already", "--overwrite"]),
        })
        {
            var called = await _program.CallAsync(["export", "--log", folder, .. args]);
            Assert.Equal(2, called.Exit);
            Assert.All(said, word => Assert.Contains(word, called.Error, StringComparison.Ordinal));
        }

        var early = await _program.CallAsync("export", "--log", folder, "--out", Out("early.csv"), "--as", "csv", "--to", "2025-12-31");
        var (first, last) = LogOrigin.Times(folder, 1)!.Value;
        Assert.Equal(LogFolder.Evening, first, TimeSpan.FromMinutes(5));
        Assert.InRange(last - first, TimeSpan.FromSeconds(59), TimeSpan.FromMinutes(10));
        Assert.Equal(1, early.Exit);
        Assert.Contains($"Nothing in the log is of that station and time; it holds {first.UtcDateTime:yyyy-MM-dd'T'HH:mm:ss'Z'} to {last.UtcDateTime:yyyy-MM-dd'T'HH:mm:ss'Z'}, of sim-lagoon, sim-river. Choose a span within that with --from and --to.", early.Out + early.Error, StringComparison.Ordinal);
        Assert.Equal("kept", await File.ReadAllTextAsync(Out("there.csv"), TestContext.Current.CancellationToken));
        Assert.Empty(Directory.EnumerateFiles(_program.Folder, "x*"));
        Assert.Contains("there is no log", (await _program.CallAsync("export", "--log", _program.Folder, "--out", "-", "--as", "csv")).Error, StringComparison.Ordinal);
        Assert.Equal(1, (await _program.CallAsync("export", "--log", folder, "--out", Out("y"), "--as", "csv", "--from", "2031-01-01")).Exit);

        // A simulated station by the name that every other command takes.
        var river = await _program.CallAsync("export", "--log", folder, "--out", Out("there.csv"), "--as", "csv", "--overwrite", "--station", "river");
        Assert.Equal((0, "60 entries written.\n"), (river.Exit, river.Error));
        Assert.StartsWith("entry,", await File.ReadAllTextAsync(Out("there.csv"), TestContext.Current.CancellationToken), StringComparison.Ordinal);
    }

    /// <summary>full(4): writing to it fails as on a full disk. An administrator's export had put a file in the place of the device.</summary>
    [Fact]
    public async Task A_device_is_written_to_and_stays_one()
    {
        File.CreateSymbolicLink(Out("full"), "/dev/full");
        var called = await _program.CallAsync("export", "--log", _log.Fill(60).Folder.Path, "--out", Out("full"), "--as", "csv", "--overwrite");
        Assert.Equal(2, called.Exit);
        Assert.Contains("The export could not be written: No space left on device", called.Error, StringComparison.Ordinal);
        Assert.Equal("/dev/full", File.ResolveLinkTarget(Out("full"), returnFinalTarget: true)?.FullName);
    }

    [Fact]
    public async Task What_is_spoilt_is_left_out_and_said_and_where_all_of_it_is_there_is_no_file()
    {
        var folder = _log.Fill(9000).Folder.Path;
        var (cycles, from) = (0, default(DateTimeOffset));
        using (var connection = new SqliteConnection($"Data Source={Path.Combine(folder, LogFile.Name)};Pooling=False"))
        {
            connection.Open();
            using var last = connection.CreateCommand();
            last.CommandText = "SELECT count, (first_wall_ms + last_wall_ms) / 2 FROM block ORDER BY first_id DESC LIMIT 1";
            using (var row = last.ExecuteReader())
            {
                Assert.True(row.Read());
                (cycles, from) = (row.GetInt32(0), DateTimeOffset.FromUnixTimeMilliseconds(row.GetInt64(1)));
            }

            using var damage = connection.CreateCommand();
            damage.CommandText = "UPDATE block SET columns = x'0000' WHERE first_id = (SELECT max(first_id) FROM block)";
            Assert.Equal(1, damage.ExecuteNonQuery());
        }

        var most = await _program.CallAsync("export", "--log", folder, "--out", Out("most.csv"), "--as", "csv");
        Assert.Equal(1, most.Exit);
        Assert.Contains("The log is damaged: 1 row in or near this span can not be read and is left out. All else is written.", most.Error, StringComparison.Ordinal);
        Assert.InRange(cycles, 1000, 8000);
        Assert.Equal(1 + 9_182 - cycles, File.ReadLines(Out("most.csv")).Count()); // a header, and what was written without the block's own

        var called = await _program.CallAsync("export", "--log", folder, "--out", Out("half.csv"), "--as", "csv", "--station", "river", "--from", $"{from:yyyy-MM-dd'T'HH:mm:ss'Z'}", "--to", $"{from.AddMinutes(5):yyyy-MM-dd'T'HH:mm:ss'Z'}");
        Assert.Equal(2, called.Exit);
        Assert.Contains("of what is asked for 1 row is there, and no longer what was written. Nothing was written; choose a span before or after it with --from and --to.", called.Error, StringComparison.Ordinal);
        Assert.Empty(Directory.EnumerateFiles(_program.Folder, "half*"));

        // What had to make room is left summed up, and no export holds that.
        Assert.Null(LogOrigin.SummedUpUntil(folder, 1));
        using (var connection = new SqliteConnection($"Data Source={Path.Combine(folder, LogFile.Name)};Pooling=False"))
        {
            connection.Open();
            using var gone = connection.CreateCommand();
            gone.CommandText = "DELETE FROM block WHERE first_id = (SELECT min(first_id) FROM block); UPDATE space SET dropped_to = 3600";
            Assert.Equal(2, gone.ExecuteNonQuery());
        }

        Assert.Contains("stands in the log summed up alone (minutes, quarter-hours, days), and is not in this file.", (await _program.CallAsync("export", "--log", folder, "--out", Out("left.log"), "--as", "log")).Error, StringComparison.Ordinal);
        Assert.Contains("summed up alone (minutes, quarter-hours, days), and is not in this file. The history on the page gives that as a file.", (await _program.CallAsync("export", "--log", folder, "--out", Out("left.csv"), "--as", "csv")).Error, StringComparison.Ordinal);
    }

    /// <summary>The process's memory from a quarter of the export to its end; the first quarter compiles and fills the caches.</summary>
    [Fact]
    public async Task Memory_stays_flat_over_two_hundred_thousand_cycles()
    {
        using (var log = _log.Folder.Open(LogFolder.Quick with { TidyEvery = 600, MaxCycles = 10_000, Batch = TimeSpan.FromHours(1) }))
        {
            await Night.WriteAsync(log, 200_000);
        }

        var process = _program.Start("export", "--log", _log.Folder.Path, "--out", "-", "--as", "csv");
        var (read, looks, low, high) = (0, 0, double.MaxValue, 0.0);
        while (await process.StandardOutput.ReadLineAsync(TestContext.Current.CancellationToken) is not null)
        {
            // Its last lines may be read after it has ended.
            if (++read >= 50_000 && read % 2_000 == 0 && ResidentMegabytes(process) is { } now)
            {
                (looks, low, high) = (looks + 1, Math.Min(low, now), Math.Max(high, now));
            }
        }

        Assert.Equal(200_001, read);
        Assert.InRange(looks, 70, 76);
        Assert.True(high - low < 10, $"{low:0.0} to {high:0.0} MB");
    }

    /// <summary>proc(5), status: VmRSS in kB; a process that has ended has none.</summary>
    private static double? ResidentMegabytes(Process process) => !process.HasExited
        && File.ReadLines($"/proc/{process.Id}/status").FirstOrDefault(l => l.StartsWith("VmRSS:", StringComparison.Ordinal)) is { } line
        ? double.Parse(line.Split(' ', StringSplitOptions.RemoveEmptyEntries)[1], CultureInfo.InvariantCulture) / 1024
        : null;
}
