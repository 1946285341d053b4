namespace Evenwater.Page.Frame;

/// <summary>The style sheets, scripts and pictures that pages are made with, and the interface's document: all of them in the program's own file.</summary>
internal static class PageAssets
{
    private static readonly Dictionary<string, string> s_types = new()
    {
        [".css"] = "text/css; charset=utf-8", [".js"] = "text/javascript; charset=utf-8", [".svg"] = "image/svg+xml", [".txt"] = "text/plain; charset=utf-8",
    };

    private static readonly HashSet<string> s_names =
        typeof(PageAssets).Assembly.GetManifestResourceNames().Where(name => s_types.ContainsKey(Path.GetExtension(name))).ToHashSet(StringComparer.Ordinal);

    // Another build, another address: a browser may keep what it has for good.
    private static readonly string s_build = typeof(PageAssets).Module.ModuleVersionId.ToString("N")[..8];

    /// <summary>The address of one of them.</summary>
    public static string Address(string name) => s_names.Contains(name)
        ? $"/assets/{name}?v={s_build}"
        : throw new InvalidOperationException($"{name} is not embedded");

    public static void Map(WebApplication app)
    {
        app.MapGet("/assets/{name}", Serve);
        app.MapGet("/api/v1/openapi.json", () => Results.Stream(typeof(PageAssets).Assembly.GetManifestResourceStream("openapi.json")!, "application/json"));
        app.MapGet("/icon.svg", (HttpContext http) => Serve("icon.svg", http));
    }

    private static IResult Serve(string name, HttpContext http)
    {
        if (!s_names.Contains(name)) return Results.Problem(title: "No such asset", statusCode: StatusCodes.Status404NotFound);
        // What a module imports has no build in its address.
        http.Response.Headers.CacheControl = http.Request.Query["v"] == s_build ? "public, max-age=31536000, immutable" : "no-cache";
        return Results.Stream(
            typeof(PageAssets).Assembly.GetManifestResourceStream(name)!, s_types[Path.GetExtension(name)],
            entityTag: new Microsoft.Net.Http.Headers.EntityTagHeaderValue($"\"{s_build}\""));
    }
}
