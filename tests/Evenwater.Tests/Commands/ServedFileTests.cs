using Evenwater.Commands;
using Evenwater.Control;
using Evenwater.Core.Stations;

namespace Evenwater.Tests.Commands;

/// <summary>Who changes a station file and does not start the daemon anew would plan by one vessel and drip into another: a pail of 8.6 L was planned, and the daemon went on to the mark of one of 11.6 L.</summary>
public sealed class ServedFileTests
{
    private static readonly Station Pail = DemoStation.Read();

    [Fact]
    public void The_first_key_that_the_daemon_has_otherwise_is_told_with_both_values()
    {
        var smaller = Pail with { Vessel = Pail.Vessel with { BrimLitres = 8.6 } };
        Assert.Equal(
            $"vessel.brimLitres = 8.6 in the station file of {Pail.Name}, but the daemon goes by {Pail.Vessel.BrimLitres}, which it read at its start. Start the daemon anew, so that both go by the same file.",
            ServedFile.Otherwise(smaller, ServedFile.Of(Pail)));
    }

    [Fact]
    public void A_key_that_was_taken_out_or_added_to_a_list_is_told()
    {
        Assert.StartsWith("limits.", ServedFile.Otherwise(Pail with { Limits = new() }, ServedFile.Of(Pail with { Limits = new() { CelsiusPerHour = 5 } })), StringComparison.Ordinal);
        Assert.Contains(" = nothing ", ServedFile.Otherwise(Pail with { Limits = new() }, ServedFile.Of(Pail with { Limits = new() { CelsiusPerHour = 5 } })), StringComparison.Ordinal);
        Assert.StartsWith("drawOffs", ServedFile.Otherwise(Pail with { DrawOffs = [new() { AtSeconds = 60, Litres = 1 }] }, ServedFile.Of(Pail)), StringComparison.Ordinal);
    }

    /// <summary>A daemon that serves sim-river alone takes "river" for it: a real river's volumes, notes and calibrations would have gone to the simulated one.</summary>
    [Fact]
    public void A_station_of_another_name_is_told_whatever_else_is_alike()
    {
        Assert.Equal("The daemon knows sim-river and no river yet. Start it anew with the station file of river, or say sim-river.", ServedFile.Otherwise(Pail with { Name = "river" }, ServedFile.Of(Pail)));
        Assert.Equal(ServedFile.Otherwise(Pail with { Name = "river" }, ServedFile.Of(Pail)), ServedFile.Another(Pail with { Name = "river" }, ServedFile.Of(Pail)));
        Assert.Null(ServedFile.Another(Pail with { Vessel = Pail.Vessel with { BrimLitres = 8.6 } }, ServedFile.Of(Pail)));
    }

    [Fact]
    public void The_same_file_and_a_daemon_that_tells_nothing_are_no_difference()
    {
        Assert.Null(ServedFile.Otherwise(Pail, ServedFile.Of(Pail)));
        Assert.Null(ServedFile.Otherwise(Pail, null));
    }
}
