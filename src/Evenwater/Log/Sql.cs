using Microsoft.Data.Sqlite;

namespace Evenwater.Log;

/// <summary>SQL with its parameters, in one expression. A command is of its connection's transaction, where there is one.</summary>
internal static class Sql
{
    /// <summary>A command that is ready to run.</summary>
    public static SqliteCommand Command(this SqliteConnection connection, string sql, params ReadOnlySpan<(string Name, object Value)> parameters)
    {
        var command = connection.CreateCommand();
        command.CommandText = sql;
        foreach (var (name, value) in parameters)
        {
            command.Parameters.AddWithValue(name, value);
        }

        return command;
    }

    /// <summary>Runs it.</summary>
    public static void Run(this SqliteConnection connection, string sql, params ReadOnlySpan<(string Name, object Value)> parameters)
    {
        using var command = connection.Command(sql, parameters);
        command.ExecuteNonQuery();
    }

    /// <summary>The one number that it gives; null when there is none.</summary>
    public static long? Number(this SqliteConnection connection, string sql, params ReadOnlySpan<(string Name, object Value)> parameters)
    {
        using var command = connection.Command(sql, parameters);
        return command.ExecuteScalar() as long?;
    }

    /// <summary>What its rows say, one by one.</summary>
    public static IEnumerable<T> Each<T>(this SqliteConnection connection, string sql, Func<SqliteDataReader, T> of, params (string Name, object Value)[] parameters)
    {
        using var command = connection.Command(sql, parameters);
        using var row = command.ExecuteReader();
        while (row.Read())
        {
            yield return of(row);
        }
    }
}
