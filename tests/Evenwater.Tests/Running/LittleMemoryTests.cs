using System.Text.Json;
using Evenwater.Commands;
using Evenwater.Log.Blocks;

namespace Evenwater.Tests.Running;

/// <summary>What keeps the daemon small; how small it is, `tests/figures` measures.</summary>
public sealed class LittleMemoryTests
{
    [Theory]
    [InlineData("System.GC.Gen0MaxBudget", 2 * 1024 * 1024)]
    [InlineData("System.Runtime.TieredCompilation.CallCountThreshold", 30_000)]
    public void The_program_is_run_with_the_settings_that_keep_it_small(string setting, int value)
    {
        using var file = JsonDocument.Parse(File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "evenwater.runtimeconfig.json")));
        Assert.Equal(value, file.RootElement.GetProperty("runtimeOptions").GetProperty("configProperties").GetProperty(setting).GetInt32());
    }

    /// <summary>RFC 7932, section 9.1: a stream whose first bit is 0 has a window of 16 bits. A wider one takes a table of 32 MB at this quality.</summary>
    [Fact]
    public void An_hour_is_packed_with_a_small_window()
    {
        var packed = Packing.Pack(new byte[100_000], BlockCodec.Small);
        Assert.Equal(0xA5, packed[0]);
        Assert.Equal(0, packed[9] & 1);
    }

    [Fact]
    public void Who_serves_carries_no_other_command_and_everybody_else_has_all()
    {
        Assert.Equal("serve", Assert.Single(Root.For(["serve", "--config", "x.json"]).Subcommands).Name);
        Assert.Equal(Root.Create().Subcommands.Count, Root.For(["--help"]).Subcommands.Count);
        Assert.Equal(Root.Create().Subcommands.Count, Root.For([]).Subcommands.Count);
    }
}
