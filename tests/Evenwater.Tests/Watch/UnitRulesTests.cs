using Evenwater.Tests.Documents;
using Evenwater.Watch;

namespace Evenwater.Tests.Watch;

/// <summary>What 'evenwater check' says of a unit that was edited.</summary>
public sealed class UnitRulesTests
{
    private static readonly string Shipped = Repository.Text("systemd", "evenwater.service");

    private static IReadOnlyList<string> Broken(string dropIn = "", bool board = true, params string[] credentials) =>
        UnitRules.Broken(UnitText.Parse($"# /etc/systemd/system/evenwater.service\n{Shipped}\n\n# a drop-in\n[Service]\n{dropIn}\n"), credentials, board, file => file != "/nowhere");

    [Fact]
    public void The_shipped_unit_breaks_no_rule() => Assert.Empty(Broken());

    [Theory]
    [InlineData("Type=simple")]
    [InlineData("WatchdogSec=0")]
    [InlineData("WatchdogSec=")]
    [InlineData("WatchdogSec=10")]
    [InlineData("WatchdogSec=infinity")]
    [InlineData("WatchdogSec=1min")]
    [InlineData("WatchdogSignal=SIGABRT")]
    [InlineData("Restart=on-failure")]
    [InlineData("OnFailure=")]
    [InlineData("ExecStart=\nExecStart=/opt/evenwater/evenwater serve")]
    [InlineData("ExecStopPost=")]
    [InlineData("RuntimeDirectory=")]
    [InlineData("StateDirectory=")]
    [InlineData("CPUWeight=")]
    [InlineData("CPUWeight=100")]
    [InlineData("CPUWeight=idle")]
    [InlineData("Slice=")]
    [InlineData("Slice=system.slice")]
    [InlineData("LimitNICE=")]
    [InlineData("LimitNICE=-9")]
    [InlineData("LimitNICE=29")]
    [InlineData("PrivateDevices=yes")]
    [InlineData("DeviceAllow=\nDeviceAllow=char-i2c rw")]
    [InlineData("DeviceAllow=\nDeviceAllow=char-gpiochip rw")]
    [InlineData("LoadCredential=token:/nowhere")]
    public void An_edit_that_breaks_a_promise_is_told_by_its_key(string dropIn)
    {
        var told = Assert.Single(Broken(dropIn));
        Assert.StartsWith(dropIn.Split('=')[0] + "=", told, StringComparison.Ordinal);
    }

    /// <summary>It is needed when the daemon is gone, and nobody sees before that it can not tell.</summary>
    [Theory]
    [InlineData("", "LoadCredential=mqtt-password:FILE is missing")]
    [InlineData("LoadCredential=mqtt-password:/nowhere", "/nowhere: the file is missing")]
    [InlineData("LoadCredential=mqtt-password:/somewhere", null)]
    public void What_the_alarm_of_last_resort_lacks_is_told(string dropIn, string? told)
    {
        var unit = UnitText.Parse($"{Repository.Text("systemd", "evenwater-gave-up@.service")}\n[Service]\n{dropIn}\n");
        var broken = UnitRules.BrokenLast(unit, ["mqtt-password"], file => file != "/nowhere");
        if (told is null)
        {
            Assert.Empty(broken);
            return;
        }

        Assert.Contains(told, Assert.Single(broken), StringComparison.Ordinal);
        Assert.StartsWith("evenwater-gave-up@.service", broken[0], StringComparison.Ordinal);
        Assert.Contains("not installed", Assert.Single(UnitRules.BrokenLast(null, ["mqtt-password"], _ => true)), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("WatchdogSec=1500ms")]
    [InlineData("WatchdogSec=3s")]
    [InlineData("Nice=-10")]
    [InlineData("ExecStartPost=")]
    [InlineData("LimitNICE=30")]
    [InlineData("LimitNICE=infinity")]
    [InlineData("IPAddressAllow=192.168.0.0/16")]
    [InlineData("; Type=simple")]
    [InlineData("LoadCredential=token:/somewhere")]
    public void An_edit_that_breaks_none_is_not_complained_of(string dropIn) => Assert.Empty(Broken(dropIn));

    [Fact]
    public void Pins_are_asked_for_only_where_a_station_has_some() => Assert.Empty(Broken("PrivateDevices=yes", board: false));

    [Fact]
    public void A_credential_of_the_configuration_must_be_loaded()
    {
        Assert.Contains("LoadCredential=mqtt-password", Assert.Single(Broken("", true, "mqtt-password")), StringComparison.Ordinal);
        Assert.Empty(Broken("LoadCredential=mqtt-password:/somewhere", true, "mqtt-password"));
    }
}
