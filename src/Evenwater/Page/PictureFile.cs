namespace Evenwater.Page;

/// <summary>The picture as a file that stands alone: the same drawing with its looks and colours inside.</summary>
internal static class PictureFile
{
    public static string Of(StationView view) => Alone(ForecastPicture.Draw(view, PictureSize.Wide));

    /// <summary>A drawing with its looks inside: the page's own colours, light and dark, the pictures' style sheet, and what else it needs.</summary>
    public static string Alone(string drawing, params string[] styles)
    {
        var afterTag = drawing.IndexOf('>', StringComparison.Ordinal) + 1;
        var look = $"{Colours()}{Asset("picture.css")}{string.Concat(styles.Select(Asset))}.picture.wide {{ display: block; }}";
        return $"{drawing[..afterTag]}<style>{look}</style><rect x=\"-50%\" y=\"-50%\" width=\"200%\" height=\"200%\" fill=\"var(--paper)\"/>{drawing[afterTag..]}\n";
    }

    /// <summary>The page's light colours, and style sheets, as one: for what is printed.</summary>
    public static string Looks(params string[] styles)
    {
        var colours = Colours();
        return colours[..colours.IndexOf("@media", StringComparison.Ordinal)] + string.Concat(styles.Select(Asset));
    }

    private static string Colours()
    {
        var page = Asset("page.css");
        return page[..page.IndexOf("@media (forced-colors", StringComparison.Ordinal)];
    }

    private static string Asset(string name)
    {
        using var stream = typeof(PictureFile).Assembly.GetManifestResourceStream(name) ?? throw new InvalidOperationException($"{name} is not embedded");
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }
}
