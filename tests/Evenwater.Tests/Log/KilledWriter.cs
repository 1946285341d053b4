using System.Diagnostics.CodeAnalysis;
using System.Runtime.CompilerServices;
using Evenwater.Log;

namespace Evenwater.Tests.Log;

/// <summary>
/// The process that the kill test kills: this very test program, which writes to a log instead of testing when the
/// variable names a folder. It prints every number that the log has told it is committed.
/// </summary>
internal static class KilledWriter
{
    public const string Variable = "EVENWATER_TEST_WRITE_TO";

    [ModuleInitializer]
    [SuppressMessage("Usage", "CA2255", Justification = "the test runner owns Main")]
    internal static void Start()
    {
        if (Environment.GetEnvironmentVariable(Variable) is not { Length: > 0 } folder)
        {
            return;
        }

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

        Environment.Exit(0);
    }
}
