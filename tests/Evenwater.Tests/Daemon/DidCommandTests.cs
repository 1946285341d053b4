using Evenwater.Commands;
using Evenwater.Running;

namespace Evenwater.Tests.Daemon;

/// <summary>Where there is only one station, it needs no name.</summary>
public sealed class DidCommandTests : IDisposable
{
    private readonly ProgramUnderTest _program = new();

    public void Dispose() => _program.Dispose();

    [Fact]
    public async Task Did_asked_of_a_note_alone_answers_for_the_only_station()
    {
        DemoPast.Write(_program.State, DemoStation.Read(), new(2026, 11, 20, 20, 0, 0, TimeSpan.Zero), "test");
        var asked = await _program.CallAsync("did", "n2");
        Assert.Equal((0, ""), (asked.Exit, asked.Error));
        Assert.Equal((await _program.CallAsync("did", "sim-river", "n2")).Out, asked.Out);
        var missing = await _program.CallAsync("did", "n9");
        Assert.Equal(2, missing.Exit);
        Assert.Contains("note: n9", missing.Error, StringComparison.Ordinal);
        Assert.Contains("note: not given", (await _program.CallAsync("did")).Error, StringComparison.Ordinal);
    }
}
