using Evenwater.Commands;
using Evenwater.Running;

namespace Evenwater.Tests.Daemon;

/// <summary>A simulated station's clock is its own: a bare hour is of its day. And where there is only one station, it needs no name.</summary>
public sealed class OwnClockTests : IDisposable
{
    private readonly ProgramUnderTest _program = new();

    public void Dispose() => _program.Dispose();

    [Theory]
    [InlineData("journal", "--add", "feed", "a pinch")]
    [InlineData("arrival", "--add", "river snails", "--count", "4")]
    [InlineData("tank", "test", "sim-river", "NO3", "10", "--step", "5")]
    public async Task A_bare_hour_is_of_its_day(params string[] command)
    {
        await _program.CallAsync("rehearse", "sim-river", "--calm", "--hours", "0.1", "--log", _program.State);
        var minuteIn = new DateTimeOffset(2026, 1, 10, 20, 1, 0, TimeSpan.Zero).ToLocalTime(); // a rehearsal begins at eight that evening
        var written = await _program.CallAsync([.. command, "--at", $"{minuteIn:HH:mm}"]);
        Assert.Equal((0, ""), (written.Exit, written.Error));
        Assert.Contains($"n1    {minuteIn:yyyy-MM-dd HH:mm}  ", (await _program.CallAsync("journal")).Out, StringComparison.Ordinal);
    }

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
