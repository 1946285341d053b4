using Evenwater.Options;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Options;

/// <summary>A start of the daemon while another command has the state folder: as wrong use it ended with 2, and the unit started it no more.</summary>
public sealed class StateLockTests : IDisposable
{
    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task A_start_waits_for_a_command_that_ends_soon()
    {
        var waited = new List<string>();
        using var other = StateLock.Take(_folder.Path, out _);
        using var held = await StateLock.WaitAsync(
            _folder.Path, TimeSpan.FromSeconds(30),
            who =>
            {
                waited.Add(who);
                other!.Dispose();
                return Task.FromResult(true);
            },
            TestContext.Current.CancellationToken);
        Assert.NotNull(held);
        Assert.Equal([$"process {Environment.ProcessId}"], waited);
    }

    [Theory]
    [InlineData(false, 600)] // a daemon has it
    [InlineData(true, 0)]
    public async Task It_waits_for_no_daemon_and_not_for_ever(bool waits, double seconds)
    {
        using var other = StateLock.Take(_folder.Path, out _);
        Assert.Null(await StateLock.WaitAsync(_folder.Path, TimeSpan.FromSeconds(seconds), _ => Task.FromResult(waits), TestContext.Current.CancellationToken));
    }

    /// <summary>A folder in the file's place: refused in the same way, to root as well.</summary>
    [Fact]
    public void Another_user_s_lock_is_told_as_that_and_with_what_to_do()
    {
        Directory.CreateDirectory(Path.Combine(_folder.Path, "daemon.lock"));
        var refused = Assert.Throws<IOException>(() => StateLock.Take(_folder.Path, out _));
        Assert.Contains($"{_folder.Path} is not this user's", refused.Message, StringComparison.Ordinal);
        Assert.Contains($"chown -R evenwater: {_folder.Path}", refused.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Another_user_s_word_of_who_had_it_keeps_nobody_from_taking_it()
    {
        Directory.CreateDirectory(Path.Combine(_folder.Path, "daemon.pid"));
        using var held = StateLock.Take(_folder.Path, out _);
        Assert.NotNull(held);
        Assert.Null(StateLock.Take(_folder.Path, out var holder));
        Assert.Equal("another process", holder);
    }
}
