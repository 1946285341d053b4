namespace Evenwater.Tests.Watch;

/// <summary>systemd/evenwater-close with stand-ins of both versions' programs; there is no pin here.</summary>
public sealed class CloserTests
{
    private const string Chips = "gpiochip0 [pinctrl-bcm2711] (58 lines)\ngpiochip1 [raspberrypi-exp-gpio] (8 lines)\ngpiochip10 [two words] (4 lines)\n";

    private static FakeTools Tools(int version)
    {
        var tools = new FakeTools(("gpioset", $"gpioset-{version}"), ("gpiodetect", "gpiodetect"), ("gpioget", "gpioget"));
        tools.Put("chips", Chips);
        tools.Put("valve-lines", "17 pinctrl-bcm2711\n");
        return tools;
    }

    [Theory]
    [InlineData(1, "keeps", "output 0\n")]
    [InlineData(1, "reverts", "input\n")]
    [InlineData(2, "keeps", "output 0\n")]
    [InlineData(2, "reverts", "input\n")]
    public async Task The_line_is_driven_low_and_let_go_whatever_the_kernel_does_then(int version, string kernel, string after)
    {
        using var tools = Tools(version);
        tools.Put("kernel", kernel);
        tools.Put("line-gpiochip0-17", "output 1\n");
        var ran = await tools.RunAsync("evenwater-close");
        Assert.Equal(0, ran.Exit);
        Assert.Equal("gpiochip0 17 0\n", tools.Get("told"));
        Assert.Equal(after, tools.Get("line-gpiochip0-17"));
        Assert.InRange(ran.Took.TotalSeconds, 0, 2);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public async Task Every_line_is_closed_by_its_chips_label_though_another_can_not_be(int version)
    {
        using var tools = Tools(version);
        tools.Put("valve-lines", "4 pinctrl-bcm2711\n5 no such chip\n2 two words\n");
        var ran = await tools.RunAsync("evenwater-close");
        Assert.Equal(1, ran.Exit);
        Assert.Equal(["gpiochip0 4 0", "gpiochip10 2 0"], tools.Get("told").Split('\n', StringSplitOptions.RemoveEmptyEntries).Order(StringComparer.Ordinal));
        Assert.Contains("no GPIO chip is labelled 'no such chip'", ran.Said, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public async Task A_gpioset_that_hangs_is_ended_and_keeps_no_other_line_waiting(int version)
    {
        using var tools = Tools(version);
        tools.Put("valve-lines", "4 pinctrl-bcm2711\n2 two words\n");
        tools.Put("hangs-gpiochip0", "2");
        var ran = await tools.RunAsync("evenwater-close");
        Assert.Equal(0, ran.Exit);
        Assert.Equal("gpiochip10 2 0\ngpiochip0 4 0\n", tools.Get("told")); // the second line first
        Assert.InRange(ran.Took.TotalSeconds, 0.9, 6);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public async Task A_line_that_is_still_held_is_tried_again(int version)
    {
        using var tools = Tools(version);
        tools.Put("busy", "3");
        Assert.Equal(0, (await tools.RunAsync("evenwater-close")).Exit);
        Assert.Equal("gpiochip0 17 0\n", tools.Get("told"));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public async Task A_line_that_stays_held_is_said_not_to_be_closed_and_soon(int version)
    {
        using var tools = Tools(version);
        tools.Put("busy", "1000");
        var ran = await tools.RunAsync("evenwater-close");
        Assert.Equal(1, ran.Exit);
        Assert.Contains("NOT CLOSED", ran.Said, StringComparison.Ordinal);
        Assert.Contains("busy", ran.Said, StringComparison.Ordinal);
        Assert.Equal("", tools.Get("told"));
        Assert.InRange(ran.Took.TotalSeconds, 0.8, 4);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public async Task A_chip_without_pull_downs_is_closed_all_the_same(int version)
    {
        using var tools = Tools(version);
        tools.Put("no-bias", "");
        Assert.Equal(0, (await tools.RunAsync("evenwater-close")).Exit);
        Assert.Equal("gpiochip0 17 0\n", tools.Get("told"));
    }

    [Theory]
    [InlineData("17=1 pinctrl-bcm2711")]
    [InlineData("-l pinctrl-bcm2711")]
    [InlineData("GPIO17 pinctrl-bcm2711")]
    [InlineData("17 pinctrl-.*")]
    [InlineData("17")]
    public async Task A_list_that_is_not_ours_drives_nothing(string line)
    {
        foreach (var version in new[] { 1, 2 })
        {
            using var tools = Tools(version);
            tools.Put("valve-lines", line + "\n");
            var ran = await tools.RunAsync("evenwater-close");
            Assert.Equal(1, ran.Exit);
            Assert.Contains("NOT CLOSED", ran.Said, StringComparison.Ordinal);
            Assert.Equal("", tools.Get("told"));
        }
    }

    [Fact] // libgpiod 1.6.3, lib/iter.c: every name in /dev that begins with gpiochip is opened, links too, and told by the kernel's name of the chip
    public async Task A_chip_that_has_a_link_beside_it_is_one_chip()
    {
        using var tools = Tools(1);
        tools.Put("chips", Chips + "gpiochip0 [pinctrl-bcm2711] (58 lines)\n");
        Assert.Equal(0, (await tools.RunAsync("evenwater-close")).Exit);
        Assert.Equal("gpiochip0 17 0\n", tools.Get("told"));
    }

    [Fact]
    public async Task Two_chips_of_one_label_are_not_guessed_between()
    {
        using var tools = Tools(2);
        tools.Put("chips", Chips + "gpiochip2 [pinctrl-bcm2711] (8 lines)\n");
        var ran = await tools.RunAsync("evenwater-close");
        Assert.Equal(1, ran.Exit);
        Assert.Contains("more than one", ran.Said, StringComparison.Ordinal);
        Assert.Equal("", tools.Get("told"));
    }

    [Fact]
    public async Task Without_gpioset_it_says_that_it_closed_nothing()
    {
        using var tools = new FakeTools(("gpiodetect", "gpiodetect"));
        tools.Put("chips", Chips);
        tools.Put("valve-lines", "17 pinctrl-bcm2711\n");
        var ran = await tools.RunAsync("evenwater-close");
        Assert.Equal(1, ran.Exit);
        Assert.Contains("apt install gpiod", ran.Said, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("")]
    [InlineData(null)]
    public async Task Where_no_line_is_listed_nothing_is_driven_and_that_is_no_fault(string? list)
    {
        using var tools = Tools(1);
        File.Delete(tools.In("valve-lines"));
        if (list is not null)
        {
            tools.Put("valve-lines", list);
        }

        var ran = await tools.RunAsync("evenwater-close");
        Assert.Equal((0, ""), (ran.Exit, tools.Get("told")));
        Assert.Contains("no valve line is listed", ran.Said, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("gpioset-1", "gpiochip0", "17=0", "--toggle", "0")]
    [InlineData("gpioset-2", "--mode=exit", "gpiochip0", "17=0")]
    public async Task The_stand_ins_refuse_the_other_versions_words(string fake, params string[] args)
    {
        using var tools = new FakeTools(("gpioset", fake));
        using var ran = System.Diagnostics.Process.Start(new System.Diagnostics.ProcessStartInfo(tools.In("tools/gpioset"), args)
        {
            Environment = { ["FAKE"] = tools.Folder, ["PATH"] = tools.In("tools") },
            RedirectStandardError = true,
        })!;
        await ran.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.Equal(1, ran.ExitCode);
    }
}
