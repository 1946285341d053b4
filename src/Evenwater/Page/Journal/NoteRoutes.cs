using System.Net.Mime;
using System.Text.Json;
using System.Text.Json.Serialization;
using Evenwater.Core.Keeping;
using Evenwater.Page.Frame;

namespace Evenwater.Page.Journal;

/// <summary>The keeper's book for programs: what stands, and one note more, as JSON.</summary>
internal static class NoteRoutes
{
    private const string Base = "/api/v1/stations/{name}/notes";

    /// <summary>How a note is read and told.</summary>
    internal static readonly JsonSerializerOptions Form = new(JsonSerializerDefaults.Web)
    {
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.CamelCase, allowIntegerValues: false) },
        DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
        UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
        RespectNullableAnnotations = true,
        NumberHandling = JsonNumberHandling.Strict,
    };

    public static void Map(WebApplication app)
    {
        app.MapGet(Base, (string name, HttpContext http) => JournalRoutes.On(name, http, posted => List(http, posted)));
        app.MapPost(Base, (string name, HttpContext http) => JournalRoutes.On(name, http, posted => Write(http, posted)));
    }

    /// <summary>The answer to a note that was written, or stood there already.</summary>
    public static IResult Made(string station, Written written) => Json(
        new { station, sentence = written.Text, id = written.Id }, written.Id is null ? StatusCodes.Status200OK : StatusCodes.Status201Created);

    private static Task<IResult> List(HttpContext http, Posted posted)
    {
        var desk = http.RequestServices.GetRequiredService<JournalDesk>();
        var asked = TypedForm.Of(http.Request.Query);
        var find = JournalFind.Read(asked, desk.Zone);
        if (asked.Refused.Count > 0) return PageProblem.Fields(http, "The book can not be looked through so", asked.Refused);
        var found = find.In(desk.Book(posted.View.Name));
        return Task.FromResult(Json(new
        {
            station = posted.View.Name,
            total = found.Count,
            page = find.Page,
            notes = found.Skip((find.Page - 1) * JournalFind.PageLength).Take(JournalFind.PageLength).Select(matter => new { note = matter.Said, withdrawn = matter.Withdrawn, current = matter.Now.Id, history = matter.Notes }),
        }));
    }

    private static async Task<IResult> Write(HttpContext http, Posted posted)
    {
        if (!http.Request.HasJsonContentType()) return Results.Problem(title: "Not JSON", detail: "Send the note as application/json.", statusCode: StatusCodes.Status415UnsupportedMediaType);
        Note? note;
        try
        {
            note = await JsonSerializer.DeserializeAsync<Note>(http.Request.Body, Form, http.RequestAborted);
        }
        catch (JsonException e)
        {
            // RFC 8259 and the note's own keys; the path is the library's, such as $.litres.
            return await PageProblem.Fields(http, "The note was not understood", [new FieldRefusal(
                e.Path?.TrimStart('$', '.') is { Length: > 0 } path ? path : "note", "not readable so", "a note as config/asyncapi.json has it, of known keys alone", $"Look at line {e.LineNumber + 1}, byte {e.BytePositionInLine}.")]);
        }

        if (note is null or { Kind: NoteKind.Calibration, Withdrawn: false })
        {
            return await PageProblem.Fields(http, "The note was not written", [new FieldRefusal("kind", note is null ? "" : NoteKinds.Name(note.Kind), string.Join(", ", NoteKinds.All.Where(kind => kind != NoteKind.Calibration).Select(NoteKinds.Name)), "'evenwater calibrate' writes a calibration.")]);
        }

        var written = await http.RequestServices.GetRequiredService<JournalDesk>().Write(posted.View.Name, note with { Id = "", WrittenAt = null });
        return written.Ok ? Made(posted.View.Name, written)
            : written.Problems.Count > 0 ? await PageProblem.Fields(http, "The note was not written", [.. written.Problems.Select(problem => new FieldRefusal(problem.Key, problem.Value.Trim('"'), problem.Allowed, problem.Advice))])
            : Results.Problem(title: "Not written", detail: written.Text, statusCode: StatusCodes.Status503ServiceUnavailable);
    }

    private static IResult Json<T>(T body, int status = StatusCodes.Status200OK) => Results.Text(JsonSerializer.Serialize(body, Form), MediaTypeNames.Application.Json, statusCode: status);
}
