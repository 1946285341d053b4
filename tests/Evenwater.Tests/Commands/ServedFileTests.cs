using Evenwater.Commands;
using Evenwater.Control;
using Evenwater.Core.Estimation;
using Evenwater.Core.Stations;

namespace Evenwater.Tests.Commands;

/// <summary>Who changes a station file and does not start the daemon anew would plan by one vessel and drip into another: a pail of 8.6 L was planned, and the daemon went on to the mark of one of 11.6 L.</summary>
public sealed class ServedFileTests
{
    private static readonly Station Pail = DemoStation.Read();

    [Fact]
    public void What_the_daemon_has_otherwise_is_told_with_both_values_and_what_to_do()
    {
        var smaller = Pail with { Vessel = Pail.Vessel with { BrimLitres = 8.6 } };
        Assert.Equal(
            "the station file of sim-river was changed after the daemon had read it: vessel.brimLitres is 8.6 in the file and 11.6 in the daemon. "
            + "Start the daemon anew while no run is on, so that it reads the file again, or put back what the file had.",
            ServedFile.Otherwise(smaller, ServedFile.Of(Pail)));
    }

    /// <summary>It had told of lists and whole groups in braces, and of the first key alone.</summary>
    [Fact]
    public void What_was_added_or_taken_out_is_told_key_by_key_and_many_keys_are_counted()
    {
        Assert.Contains(
            ": limits.celsiusPerHour is left out in the file and 5 in the daemon. ",
            ServedFile.Otherwise(Pail with { Limits = Pail.Limits with { CelsiusPerHour = null } }, ServedFile.Of(Pail)), StringComparison.Ordinal);
        Assert.Contains(
            ": drawOffs[0].atSeconds is 60 in the file and left out in the daemon, drawOffs[0].litres is 1 in the file and left out in the daemon, ",
            ServedFile.Otherwise(Pail with { DrawOffs = [new() { AtSeconds = 60, Litres = 1 }] }, ServedFile.Of(Pail)), StringComparison.Ordinal);
        Assert.Contains(
            ": vessel.mode is \"standpipe\" in the file and \"fill\" in the daemon, pacing.path is \"limits\" in the file and left out in the daemon, "
            + "pacing.shareOfLimit is 0.95 in the file and left out in the daemon, and 2 more keys. ",
            ServedFile.Otherwise(Pail with { Vessel = Pail.Vessel with { Mode = VesselMode.Standpipe }, Pacing = new() { Path = PacePath.Limits } }, ServedFile.Of(Pail)), StringComparison.Ordinal);
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
