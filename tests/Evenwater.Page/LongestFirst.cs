using Evenwater.PageTests;
using Evenwater.PageTests.History;
using Evenwater.PageTests.Journal;
using Xunit.Sdk;
using Xunit.v3;

[assembly: TestCollectionOrderer(typeof(LongestFirst))]

namespace Evenwater.PageTests;

/// <summary>What goes one after the other for longest begins first: begun last, it would go on alone when all else has ended.</summary>
public sealed class LongestFirst : ITestCollectionOrderer
{
    private static readonly string[] s_first = [Year.Name, Book.Name, Acts.Name];

    /// <inheritdoc />
    public IReadOnlyCollection<TTestCollection> OrderTestCollections<TTestCollection>(IReadOnlyCollection<TTestCollection> testCollections)
        where TTestCollection : ITestCollection =>
        [.. testCollections.OrderBy(one => Array.IndexOf(s_first, one.TestCollectionDisplayName) is >= 0 and var at ? at : s_first.Length)];
}
