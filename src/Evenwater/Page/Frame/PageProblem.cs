namespace Evenwater.Page.Frame;

/// <summary>Refusals: a problem document (RFC 9457) for a program, the same form with what was typed for a person.</summary>
internal static class PageProblem
{
    /// <summary>What the fields were refused for.</summary>
    /// <param name="http">The request.</param>
    /// <param name="title">What could not be done, in a few words.</param>
    /// <param name="refused">Which fields, and why; not empty.</param>
    /// <param name="again">Shows the form again, with the visit that holds the refusals; null when there is none, as for data.</param>
    public static Task<IResult> Fields(
        HttpContext http, string title, IReadOnlyList<FieldRefusal> refused, Func<int, Task<IResult>>? again = null) =>
        again is not null && PageRender.WantsPage(http)
            ? again(StatusCodes.Status422UnprocessableEntity)
            : Task.FromResult(Results.Problem(
                title: title,
                detail: string.Join(" ", refused.Select(r => $"{r.Field}: {r.Sentence}")),
                statusCode: StatusCodes.Status422UnprocessableEntity,
                extensions: new Dictionary<string, object?> { ["errors"] = refused.Select(Error).ToArray() }));

    /// <summary>There is no such station; or none at all yet, which is no word about this one.</summary>
    public static IResult NoStation(string name) => new Absent(name);

    // A dictionary of strings, which the framework's own writer of problems knows without reflection.
    private static Dictionary<string, string?> Error(FieldRefusal refusal) => new()
    {
        ["field"] = refusal.Field, ["value"] = refusal.Value, ["allowed"] = refusal.Allowed, ["do"] = refusal.Do,
    };

    private sealed class Absent(string name) : IResult
    {
        public Task ExecuteAsync(HttpContext http)
        {
            var board = http.RequestServices.GetRequiredService<StationBoard>();
            if (!board.IsAwaited(name))
            {
                return PageRefused.Answer(StatusCodes.Status404NotFound, "No such station", $"There is no station {Plain.Line(name)}.").ExecuteAsync(http);
            }

            http.Response.Headers.RetryAfter = "2";
            return PageRefused.Answer(
                StatusCodes.Status503ServiceUnavailable, "Starting",
                $"{(board.Count == 0 ? "No station has reported yet: the program is starting, and every valve is closed." : StationBoard.NotYet(name))} Ask again in a few seconds.").ExecuteAsync(http);
        }
    }
}
