using Evenwater.Tests.Daemon;

namespace Evenwater.PageTests;

/// <summary>A real daemon with a simulated station that drips. It is ready when it was begun.</summary>
public sealed class DrippingDaemon : IDisposable
{
    /// <summary>Its station.</summary>
    public const string Station = "sim-river";

    /// <summary>Where its page is.</summary>
    public Uri Origin => new($"http://127.0.0.1:{Program.PagePort}");

    /// <summary>For commands beside the page, such as `close`, and for its state folder.</summary>
    internal ProgramUnderTest Program { get; } = new();

    /// <summary>Starts it, and begins a run.</summary>
    public async Task BeginAsync()
    {
        var daemon = Program.Start("serve", "--config", Program.Configuration);
        _ = daemon.StandardOutput.ReadToEndAsync();
        await Program.PageAsync(page => page.Contains(Station, StringComparison.Ordinal));
        var begun = await Program.CallAsync("begin", Station, "--start-volume", "1.6", "--jug", "--flow", "15", "--matched", "--attended", "--yes");
        Assert.True(begun.Exit == 0, begun.Error);
        await Program.PageAsync(page => page.Contains("The valve is open", StringComparison.Ordinal));
    }

    /// <inheritdoc />
    public void Dispose() => Program.Dispose();
}
