using Evenwater.Page.Frame;
using Microsoft.Data.Sqlite;

namespace Evenwater.Page.Looking;

/// <summary>Looking back, in its turn; a log that can not be read just now is told in words.</summary>
internal static class LookGate
{
    public static async Task<IResult> Read(HttpContext http, Func<CancellationToken, Task<IResult>> read)
    {
        try
        {
            return await http.RequestServices.GetRequiredService<ReadingGate>().Read(http, read);
        }
        catch (OperationCanceledException) when (http.RequestAborted.IsCancellationRequested)
        {
            return Results.Empty;
        }
        catch (SqliteException e)
        {
            return PageRefused.Answer(StatusCodes.Status503ServiceUnavailable, "The log could not be read", $"{Plain.Line(e.Message)} Look at it with `evenwater check`.");
        }
    }
}
