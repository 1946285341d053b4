namespace Evenwater.PageTests;

/// <summary>Tests that change what the daemon's station does, one after the other. Write [Collection(Acts.Name)] above the class.</summary>
[CollectionDefinition(Name)]
public sealed class Acts
{
    /// <summary>The collection's name.</summary>
    public const string Name = "Acts";
}
