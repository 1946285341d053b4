using System.Diagnostics;
using System.Diagnostics.CodeAnalysis;
using System.Runtime.CompilerServices;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Tests.Log;
using Microsoft.Extensions.Logging.Abstractions;

namespace Evenwater.Tests;

/// <summary>
/// Processes that tests kill: this very test program, which does one job instead of testing when a variable says so.
/// The job runs inside the module's initialiser, so no code of this assembly may run on another thread meanwhile.
/// </summary>
internal static class ChildProcess
{
    private const string Variable = "EVENWATER_TEST_CHILD";

    /// <summary>A process that appends to the log in the folder and prints every number that the log has told it is committed.</summary>
    public static Process Writer(string folder) => Start($"write|{folder}");

    /// <summary>
    /// A process that appends a cycle every 5 ms, as time goes by, to a log with this batch, and prints each number at once: what was appended, not what is committed.
    /// </summary>
    public static Process Pacer(string folder, int batchMilliseconds) => Start($"pace|{folder}|{batchMilliseconds}");

    /// <summary>A process that writes so many seconds to a log and prints what the kernel counted of it: bytes handed to write(), and bytes towards the device.</summary>
    public static Process Wear(string folder, int batchSeconds, int seconds) => Start($"wear|{folder}|{batchSeconds}|{seconds}");

    /// <summary>A process that tells the log of the folder to a broker.</summary>
    public static Process Follower(string folder, int port) => Start($"follow|{folder}|{port}");

    /// <summary>A process that takes the limits of one that decodes pictures, tries them, and prints what it found.</summary>
    public static Process Bound(string file) => Start($"bound|{file}");

    [ModuleInitializer]
    [SuppressMessage("Usage", "CA2255", Justification = "the test runner owns Main")]
    internal static void Work()
    {
        switch (Environment.GetEnvironmentVariable(Variable)?.Split('|'))
        {
            case ["write", var folder]:
                Write(folder);
                Environment.Exit(0);
                break;
            case ["follow", var folder, var port]:
                Follow(folder, int.Parse(port));
                Environment.Exit(0);
                break;
            case ["pace", var folder, var batch]:
                Pace(folder, int.Parse(batch));
                Environment.Exit(0);
                break;
            case ["bound", var file]:
                Bind(file);
                Environment.Exit(0);
                break;
            case ["wear", var folder, var batch, var seconds]:
                Wear(folder, int.Parse(batch), int.Parse(seconds), File.ReadAllLines("/proc/self/io"));
                Environment.Exit(0);
                break;
            default:
                break;
        }
    }

    private static void Bind(string file)
    {
        var before = Granted();
        var taken = Evenwater.Photographs.RedrawLimits.Take();
        var after = Granted();
        var stat = File.ReadAllText("/proc/self/stat");
        var rank = stat[(stat.LastIndexOf(')') + 2)..].Split(' ')[16]; // proc(5): nice is the 19th field, the 17th after the name
        Console.WriteLine($"before: 300 MB {before}; taken: {taken}; after: 300 MB {after}; rank {rank}; when memory is short {File.ReadAllText("/proc/self/oom_score_adj").Trim()}");
        Console.Out.Flush();
        File.WriteAllText(file, "more than nothing"); // ends the process: its limit of files is none
        Console.WriteLine("a file was written");

        static string Granted()
        {
            try
            {
                System.Runtime.InteropServices.Marshal.FreeHGlobal(System.Runtime.InteropServices.Marshal.AllocHGlobal(300_000_000));
                return "granted";
            }
            catch (OutOfMemoryException)
            {
                return "refused";
            }
        }
    }

    private static Process Start(string job) => Process.Start(new ProcessStartInfo(Path.Combine(AppContext.BaseDirectory, "Evenwater.Tests"))
    {
        RedirectStandardOutput = true,
        Environment = { [Variable] = job },
    })!;

    private static void Write(string folder)
    {
        using var log = NightLog.Open(folder, pace: new LogPace { Batch = TimeSpan.FromMilliseconds(20), MaxCycles = 100_000 });
        var night = new Night(log);
        for (var i = 0; i < 1_000_000; i++)
        {
            var id = i % 20 == 19
                ? night.Add(EntryKind.Event, new EventBody("test", "x"))
                : night.Cycle();
            log.MoveCursor("follower", id);
            if (i % 50 == 49)
            {
                Console.WriteLine(log.CommitAsync().GetAwaiter().GetResult());
            }
        }
    }

    private static void Follow(string folder, int port)
    {
        using var log = NightLog.Open(folder);
        var boot = log.StartBoot("test", simulated: true);
        var follower = new MqttFollower(log, "sim-river", boot, new() { Port = port, WillDelaySeconds = 1 }, Followers.Desks.Of("sim-river"), null!, null!, NullLogger.Instance);
        follower.RunAsync(CancellationToken.None).GetAwaiter().GetResult();
    }

    private static void Pace(string folder, int batchMilliseconds)
    {
        using var log = NightLog.Open(folder, pace: new LogPace { Batch = TimeSpan.FromMilliseconds(batchMilliseconds) });
        var night = new Night(log);
        using var output = Console.OpenStandardOutput();
        for (var i = 0; i < 100_000; i++)
        {
            output.Write(System.Text.Encoding.ASCII.GetBytes($"{night.Cycle()}\n"));
            Thread.Sleep(5);
        }
    }

    private static void Wear(string folder, int batchSeconds, int seconds, string[] before)
    {
        // Cursors are saved by the clock, once a minute; here a night goes by in seconds, so every minute of it moves one.
        using (var log = NightLog.Open(folder, pace: new LogPace { Batch = TimeSpan.FromHours(1), Cursors = TimeSpan.Zero }))
        {
            new Store.LifelikeYear(2).Write(log, seconds, batchSeconds, second =>
            {
                if (second % Math.Max(60, batchSeconds) < batchSeconds)
                {
                    log.MoveCursor("mqtt/one", log.LastId);
                    log.MoveCursor("influxdb", log.LastId);
                }
            });
        }

        var after = File.ReadAllLines("/proc/self/io");
        Console.Write($"{Counted("wchar")} {Counted("write_bytes")}");
        long Counted(string what) => Of(after, what) - Of(before, what);
        static long Of(string[] lines, string what) => long.Parse(lines.Single(l => l.StartsWith(what + ":", StringComparison.Ordinal))[(what.Length + 1)..], System.Globalization.CultureInfo.InvariantCulture);
    }
}
