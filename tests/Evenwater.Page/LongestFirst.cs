using Evenwater.PageTests;
using Evenwater.PageTests.History;
using Evenwater.PageTests.Journal;
using Evenwater.PageTests.Looking;
using Evenwater.PageTests.Tonight;
using Xunit.Sdk;
using Xunit.v3;

[assembly: TestCollectionOrderer(typeof(LongestFirst))]

namespace Evenwater.PageTests;

/// <summary>What goes one after the other for longest begins first: begun last, it would go on alone when all else has ended.</summary>
public sealed class LongestFirst : ITestCollectionOrderer
{
    private static readonly string[] s_first = [Book.Name, Year.Name, nameof(StateTests), Acts.Name, nameof(LiveTests), nameof(OpeningTests), nameof(LookingTests)];

    /// <inheritdoc />
    public IReadOnlyCollection<TTestCollection> OrderTestCollections<TTestCollection>(IReadOnlyCollection<TTestCollection> testCollections)
        where TTestCollection : ITestCollection =>
        [.. testCollections.OrderBy(one => Array.FindIndex(s_first, name => IsOf(one, name)) is >= 0 and var at ? at : s_first.Length)];

    /// <summary>A class that is in no named collection has one that tells its full name.</summary>
    private static bool IsOf(ITestCollection collection, string name) =>
        collection.TestCollectionDisplayName == name || collection.TestCollectionDisplayName.Contains($".{name} ", StringComparison.Ordinal);
}
