using System.Diagnostics;
using Evenwater.Tests.Latency;
using Microsoft.Data.Sqlite;

namespace Evenwater.Tests.Store;

/// <summary>The same readings as one row each in SQLite, the plainest store there is.</summary>
internal static class PlainRows
{
    public static async Task CompareAsync(ITestOutputHelper output, long seconds, int points, double ourBytes, Latencies ours)
    {
        var folder = Directory.CreateTempSubdirectory("evenwater-plain-");
        try
        {
            var file = Path.Combine(folder.FullName, "plain.sqlite");
            Write(file, seconds);
            var bytes = new FileInfo(file).Length / ((double)seconds * LifelikeYear.ChannelsFitted);
            var times = new Latencies();
            foreach (var (from, to) in Zooms.All(seconds).Take(12))
            {
                await Zooms.ForgetAsync();
                var started = Stopwatch.StartNew();
                using var connection = Open(file);
                foreach (var channel in LifelikeYear.Given)
                {
                    using var command = connection.CreateCommand();
                    command.CommandText = "SELECT (ms - $from) / $step, count(*), min(code), avg(code), max(code) FROM reading WHERE channel = $channel AND ms >= $from AND ms < $to GROUP BY 1";
                    command.Parameters.AddWithValue("$from", from.ToUnixTimeMilliseconds());
                    command.Parameters.AddWithValue("$to", to.ToUnixTimeMilliseconds());
                    command.Parameters.AddWithValue("$step", Math.Max(1, (long)((to - from).TotalMilliseconds / points)));
                    command.Parameters.AddWithValue("$channel", (int)channel);
                    using var rows = command.ExecuteReader();
                    while (rows.Read())
                    {
                    }
                }

                times.Add(started.Elapsed.TotalMilliseconds);
            }

            output.WriteLine($"plain rows in SQLite: {bytes:0.00} bytes a reading, {bytes / ourBytes:0.0} times ours; p50 {times.Quantile(0.5):0} ms, p95 {times.Quantile(0.95):0} ms, {times.Quantile(0.95) / ours.Quantile(0.95):0.0} times ours");
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    private static SqliteConnection Open(string file)
    {
        var connection = new SqliteConnection($"Data Source={file};Pooling=False");
        connection.Open();
        return connection;
    }

    private static void Write(string file, long seconds)
    {
        using var connection = Open(file);
        using (var create = connection.CreateCommand())
        {
            create.CommandText = "PRAGMA journal_mode = WAL; CREATE TABLE reading (channel INTEGER, ms INTEGER, code INTEGER, PRIMARY KEY (channel, ms)) WITHOUT ROWID";
            create.ExecuteNonQuery();
        }

        var year = new LifelikeYear(1);
        using var insert = connection.CreateCommand();
        insert.CommandText = "INSERT INTO reading VALUES ($channel, $ms, $code)";
        foreach (var name in new[] { "$channel", "$ms", "$code" })
        {
            insert.Parameters.Add(new SqliteParameter { ParameterName = name });
        }

        for (var second = 1L; second <= seconds;)
        {
            using var transaction = connection.BeginTransaction();
            insert.Transaction = transaction;
            for (var i = 0; i < 36_000 && second <= seconds; i++, second++)
            {
                var samples = year.At(second);
                foreach (var channel in LifelikeYear.Given)
                {
                    (insert.Parameters[0].Value, insert.Parameters[1].Value, insert.Parameters[2].Value) =
                        ((int)channel, LifelikeYear.Begin.AddSeconds(second).ToUnixTimeMilliseconds(), samples[channel].Code);
                    insert.ExecuteNonQuery();
                }
            }

            transaction.Commit();
        }

        using var checkpoint = connection.CreateCommand();
        checkpoint.CommandText = "PRAGMA wal_checkpoint(TRUNCATE)";
        checkpoint.ExecuteNonQuery();
    }
}
