using System.Text.RegularExpressions;
using Evenwater.Page.Access;

namespace Evenwater.Page.Frame;

/// <summary>
/// What was typed into a form of the book that could not be taken as it came: the program had started anew meanwhile, the session was over, or the log took nothing. It is shown, and
/// can be sent again with the token of now. Only what writes into the book, and only from a page of ours: what opens or resets is to be looked at again.
/// </summary>
/// <param name="Path">Where it was to go.</param>
/// <param name="Fields">What was typed, by field.</param>
public sealed partial record TypedAgain(string Path, IReadOnlyDictionary<string, string> Fields)
{
    /// <summary>The field of the sign-in form that carries the path.</summary>
    public const string PathField = "again";

    /// <summary>What the others begin with there.</summary>
    public const string Mark = "again-";

    /// <summary>Whether a photograph came with it, which is not kept.</summary>
    public bool HadPhotograph { get; init; }

    /// <summary>Of a request that was not obeyed; null where there is nothing of that kind.</summary>
    /// <param name="http">The request.</param>
    /// <param name="mostBytes">A larger body is not read for it.</param>
    internal static async Task<TypedAgain?> Of(HttpContext http, long mostBytes = long.MaxValue)
    {
        var request = http.Request;
        if (!HttpMethods.IsPost(request.Method) || !IsOfBook(request.Path.Value) || !request.HasFormContentType || request.ContentLength is not { } length || length > mostBytes
            || !PageOrigin.IsOwn(request) || !PageRender.WantsPage(http))
        {
            return null;
        }

        try
        {
            var form = await request.ReadFormAsync(http.RequestAborted);
            return new(request.Path.Value!, Typed(form, "")) { HadPhotograph = form.Files.Any(file => file.Length > 0) };
        }
        catch (Exception e) when (e is IOException or InvalidDataException)
        {
            return null;
        }
    }

    /// <summary>What the sign-in form carried on; null for nothing.</summary>
    internal static TypedAgain? Carried(IFormCollection form) => form[PathField].ToString() is var path && IsOfBook(path) ? new(path, Typed(form, Mark)) : null;

    private static Dictionary<string, string> Typed(IFormCollection form, string mark) => form
        .Where(field => field.Key.StartsWith(mark, StringComparison.Ordinal) && field.Key != PageToken.Field)
        .ToDictionary(field => field.Key[mark.Length..], field => field.Value.ToString());

    private static bool IsOfBook(string? path) => path is not null && OfBook().IsMatch(path);

    [GeneratedRegex("^/stations/[a-z0-9-]+/(journal(/[a-z0-9]+/withdraw)?|arrival)$")]
    private static partial Regex OfBook();
}
