namespace Evenwater.Page.Looking;

/// <summary>Where the log stands that the pages look back in.</summary>
/// <param name="Folder">Its folder.</param>
internal sealed record LogPlace(string Folder);
