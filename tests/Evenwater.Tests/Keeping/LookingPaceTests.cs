using System.Diagnostics;
using Evenwater.Core.Review.Comparing;
using Evenwater.Keeping;
using Evenwater.Tests.Log;
using Evenwater.Tests.Store;

namespace Evenwater.Tests.Keeping;

/// <summary>Looking back in the log of a year costs the daemon little.</summary>
public sealed class LookingPaceTests
{
    [Fact(Explicit = true)] // by hand, since it measures: 60 µS/cm less at noon of the 200th day: 260 to 200, with 3 of a day's course and 10 of a season's; seen on no other day
    public void A_fortnight_of_a_year_is_looked_back_at_within_seconds_and_what_fell_is_found()
    {
        using var folder = new LogFolder();
        SummedYear.Write(folder.Path, LogFolder.Station());
        for (var again = 0; again < 3; again++)
        {
            foreach (var days in (int[])[14, 150])
            {
                var (watch, bytes) = (Stopwatch.StartNew(), GC.GetAllocatedBytesForCurrentThread());
                var back = LookBack.Read(folder.Path, "sim-river", (SummedYear.Step.AddDays(4 - days), SummedYear.Step.AddDays(4)), TimeZoneInfo.Utc, TestContext.Current.CancellationToken);
                TestContext.Current.TestOutputHelper?.WriteLine($"swings, {days} days: {watch.ElapsedMilliseconds} ms, {(GC.GetAllocatedBytesForCurrentThread() - bytes) / 1e6:0.0} MB, {back.Episodes.Count} episodes");
            }

            var (time, made) = (Stopwatch.StartNew(), GC.GetAllocatedBytesForCurrentThread());
            var answer = DidReading.Look(folder.Path, "sim-river", new(null, SummedYear.Step), TimeZoneInfo.Utc, TestContext.Current.CancellationToken).Found!.Answer;
            TestContext.Current.TestOutputHelper?.WriteLine($"did: {time.ElapsedMilliseconds} ms, {(GC.GetAllocatedBytesForCurrentThread() - made) / 1e6:0.0} MB");
            Assert.Equal(Verdict.Lower, answer.Channels[0][Figure.Level]!.Verdict);
        }
    }
}
