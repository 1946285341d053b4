using Evenwater.Page.Frame;

namespace Evenwater.Page.Charts;

/// <summary>The library that draws charts in the browser; without it the page shows the charts that the server draws.</summary>
/// <param name="IsThere">Whether it is used.</param>
public sealed record ChartLibrary(bool IsThere)
{
    /// <summary>The asset that draws.</summary>
    public const string Script = "uplot.js";
    /// <summary>Its style sheet.</summary>
    public const string Style = "uplot.css";
    /// <summary>As this program was built: with it or without.</summary>
    public static ChartLibrary Built { get; } = new(typeof(ChartLibrary).Assembly.GetManifestResourceInfo(Script) is not null);

    /// <summary>Where the script is; null without.</summary>
    public string? Address => IsThere ? PageAssets.Address(Script) : null;
}
