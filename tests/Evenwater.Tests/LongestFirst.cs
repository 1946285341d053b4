using Evenwater.Tests;
using Evenwater.Tests.Daemon;
using Evenwater.Tests.Followers;
using Evenwater.Tests.Log;
using Evenwater.Tests.Running;
using Evenwater.Tests.Watch;
using Xunit.Sdk;
using Xunit.v3;

[assembly: TestCollectionOrderer(typeof(LongestFirst))]

namespace Evenwater.Tests;

/// <summary>The classes whose tests, one after the other, take longest begin first: begun last, one would go on alone when all else has ended.</summary>
public sealed class LongestFirst : ITestCollectionOrderer
{
    private static readonly Type[] s_first = [typeof(KillTests), typeof(MqttMishapTests), typeof(NightTests), typeof(WatcherTests), typeof(DaemonTests), typeof(CommandTests), typeof(StoreFlowTests), typeof(StalledTests), typeof(SlowLineTests)];

    /// <inheritdoc />
    public IReadOnlyCollection<TTestCollection> OrderTestCollections<TTestCollection>(IReadOnlyCollection<TTestCollection> testCollections)
        where TTestCollection : ITestCollection =>
        [.. testCollections.OrderBy(one => Array.FindIndex(s_first, type => one.TestCollectionDisplayName.Contains($"{type.FullName} ", StringComparison.Ordinal)) is >= 0 and var at ? at : s_first.Length)];
}
