using Evenwater.Commands;
using Evenwater.Tests.Options;

namespace Evenwater.Tests.Commands;

public class CalibrateCommandTests
{
    /// <summary>It had been told that the book could not be reached.</summary>
    [Fact]
    public async Task A_place_that_can_not_be_written_is_named_as_such() =>
        Assert.Equal(2, await CalibrateCommand.WriteAsync(Path.Combine(GoodFile.Path, "review.csv"), "text"));
}
