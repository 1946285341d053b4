namespace Evenwater.Page;

/// <summary>The picture as a file that stands alone: the same drawing with its looks and colours inside.</summary>
internal static class PictureFile
{
    public static string Of(StationView view)
    {
        var drawing = ForecastPicture.Draw(view, PictureSize.Wide);
        var afterTag = drawing.IndexOf('>', StringComparison.Ordinal) + 1;
        return $"{drawing[..afterTag]}<style>{Look()}</style><rect width=\"100%\" height=\"100%\" fill=\"var(--paper)\"/>{drawing[afterTag..]}\n";
    }

    /// <summary>The page's own colours, light and dark, and the picture's style sheet; both sizes are always shown.</summary>
    private static string Look()
    {
        var page = Asset("page.css");
        var colours = page[..page.IndexOf("@media (forced-colors", StringComparison.Ordinal)];
        return $"{colours}{Asset("picture.css")}.picture.wide {{ display: block; }}";
    }

    private static string Asset(string name)
    {
        using var stream = typeof(PictureFile).Assembly.GetManifestResourceStream(name) ?? throw new InvalidOperationException($"{name} is not embedded");
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }
}
