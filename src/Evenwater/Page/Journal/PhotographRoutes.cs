using Evenwater.Page.Frame;
using Evenwater.Photographs;

namespace Evenwater.Page.Journal;

/// <summary>Photographs of a book: looked at, and deleted for good.</summary>
internal static class PhotographRoutes
{
    /// <summary>Nothing that a file could hold runs, whatever a browser takes it for.</summary>
    private const string Policy = "default-src 'none'; sandbox; frame-ancestors 'none'";

    public static void Map(WebApplication app)
    {
        app.MapGet("/stations/{name}/photographs/{photograph}.jpg", (string name, string photograph, HttpContext http) => JournalRoutes.On(name, http, _ => Task.FromResult(Look(http, photograph))));
        app.MapPost("/stations/{name}/photographs/{photograph}/delete", (string name, string photograph, HttpContext http) => JournalRoutes.On(name, http, _ => Task.FromResult(Delete(http, name, photograph))));
    }

    private static IResult Look(HttpContext http, string photograph)
    {
        var photographs = http.RequestServices.GetRequiredService<JournalDesk>().Photographs;
        if (!photographs.Has(photograph)) return None(photograph);
        var headers = http.Response.Headers;
        headers.ContentSecurityPolicy = Policy;
        headers["Cross-Origin-Resource-Policy"] = "same-origin";
        headers.ContentDisposition = "inline; filename=\"photograph.jpg\"";
        return Results.Stream(to => CopyAsync(photographs, photograph, to), "image/jpeg");
    }

    private static async Task CopyAsync(PhotographFolder photographs, string name, Stream to)
    {
        await using var file = photographs.Open(name);
        if (file is not null) await file.CopyToAsync(to);
    }

    private static IResult Delete(HttpContext http, string name, string photograph)
    {
        if (!http.RequestServices.GetRequiredService<JournalDesk>().Photographs.Delete(photograph)) return None(photograph);
        if (!PageRender.WantsPage(http)) return Results.NoContent();
        http.Response.Headers.Location = $"{PageNav.Address(name, "/journal")}?deleted=1";
        return Results.StatusCode(StatusCodes.Status303SeeOther);
    }

    private static IResult None(string photograph) =>
        PageRefused.Answer(StatusCodes.Status404NotFound, "No such photograph", $"There is no photograph {Plain.Line(photograph)} here; it may have been deleted.");
}
