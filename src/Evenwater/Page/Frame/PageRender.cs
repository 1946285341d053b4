using System.Net.Mime;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Components.Web;

namespace Evenwater.Page.Frame;

/// <summary>Draws a page of components and answers with it.</summary>
internal static class PageRender
{
    private const int BufferBytes = 60 * 1024;
    private const string Utf8Html = MediaTypeNames.Text.Html + "; charset=utf-8";

    /// <summary>Whether a person's browser asks, not a program.</summary>
    public static bool WantsPage(HttpContext http) => http.Request.Headers.Accept.ToString().Contains(MediaTypeNames.Text.Html, StringComparison.Ordinal);

    /// <summary>The page with its parameters. Written as bytes into one small buffer: as a string a page would be a large object of the heap every time.</summary>
    public static Task<IResult> Show<TPage>(HttpContext http, int status, params (string Name, object? Value)[] parameters)
        where TPage : IComponent
    {
        var html = http.RequestServices.GetRequiredService<HtmlRenderer>();
        return html.Dispatcher.InvokeAsync(async () =>
        {
            var page = await html.RenderComponentAsync<TPage>(ParameterView.FromDictionary(parameters.ToDictionary(p => p.Name, p => p.Value)));
            var bytes = new MemoryStream(BufferBytes);
            await using (var writer = new StreamWriter(bytes, leaveOpen: true)) page.WriteHtmlTo(writer);
            http.Response.StatusCode = status;
            return Results.Bytes(bytes.GetBuffer().AsMemory(0, (int)bytes.Length), Utf8Html);
        });
    }
}
