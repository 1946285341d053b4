namespace Evenwater.PageTests;

/// <summary>Tests at the daemon itself, one after the other: some change what its station does, and it takes twelve connections of one client at most. Write [Collection(Acts.Name)] above the class.</summary>
[CollectionDefinition(Name)]
public sealed class Acts
{
    /// <summary>The collection's name.</summary>
    public const string Name = "Acts";
}
