using Evenwater.Page.Charts;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Page;

/// <summary>One log of a tank and one server over it for all tests of a class: they only read.</summary>
public sealed class TankPage : IAsyncLifetime
{
    private readonly LogFolder _folder = new();

    internal ServedPage Page { get; private set; } = null!;

    public async ValueTask InitializeAsync()
    {
        await TankLog.WriteAsync(_folder);
        Page = await ServedPage.StartAsync(_folder.Path, ChartLibrary.Built, TankLog.View);
    }

    public async ValueTask DisposeAsync()
    {
        await Page.DisposeAsync();
        _folder.Dispose();
    }
}
