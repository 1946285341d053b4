using Evenwater.Commands;
using Evenwater.Log;
using Evenwater.Tests.Log;
using Evenwater.Tests.Options;

namespace Evenwater.Tests.Commands;

public class CalibrateCommandTests
{
    /// <summary>It had been told that the book could not be reached.</summary>
    [Fact]
    public async Task A_place_that_can_not_be_written_is_named_as_such() =>
        Assert.Equal(2, await CalibrateCommand.WriteAsync(Path.Combine(GoodFile.Path, "review.csv"), "text"));

    /// <summary>After a quarter of an hour with a standard it had been told that there is no such station: its file lay elsewhere, and the log did not know it yet.</summary>
    [Fact]
    public void What_a_station_whose_file_lies_anywhere_comes_to_is_written()
    {
        using var folder = new LogFolder();
        var pail = LogFolder.Station("pail");
        Assert.Same(pail, PenAndPaper.Configured(folder.Path, "pail", pail).Station);
        Write(folder, "pail");
        Assert.NotSame(pail, PenAndPaper.Configured(folder.Path, "pail", pail).Station); // what the log has goes first, as before
        Assert.Contains("was not found", PenAndPaper.Configured(folder.Path, "tub", null).Problem, StringComparison.Ordinal);
    }

    /// <summary>Who tries a station as sim-pail and then builds it had the pail planned and calibrated by what the simulated one's probes came to.</summary>
    [Fact]
    public void The_book_of_the_simulated_station_is_not_that_of_the_real_one()
    {
        using var folder = new LogFolder();
        Write(folder, "sim-pail");
        Assert.Null(PenAndPaper.BookOf("pail", folder.Path).Book);
        Assert.NotNull(PenAndPaper.BookOf("sim-pail", folder.Path).Book);
        Assert.Equal("pail", PenAndPaper.Configured(folder.Path, "pail", LogFolder.Station("pail")).Station!.Name);
        Assert.Equal("sim-pail", PenAndPaper.Book("pail", folder.Path).Name); // to a keeper who types a name it stays short for the other
        File.WriteAllText(Path.Combine(folder.Path, "pail.json"), GoodFile.Text.Replace("\"sim-river\"", "\"pail\"", StringComparison.Ordinal).Replace("\"simulated\"", "\"board\"", StringComparison.Ordinal));
        Assert.Equal((null, "The log knows sim-pail and no pail yet."), (PenAndPaper.Book("pail", folder.Path, [folder.Path]).Book, PenAndPaper.Book("pail", folder.Path, [folder.Path]).Problem)); // but not once there is a pail
    }

    private static void Write(LogFolder folder, string station)
    {
        using var log = folder.Open();
        new Night(log, station).Cycle();
        log.Flush();
    }
}
