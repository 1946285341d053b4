using Evenwater.Commands;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Commands;

public class CheckListTests
{
    /// <summary>"ok ... others must not be able to read it" told of a file that was in order as of one that was not, and of neither what to do.</summary>
    [Fact]
    public void A_secret_that_everybody_can_read_is_told_with_what_to_do_and_one_that_is_closed_as_closed()
    {
        using var folder = new LogFolder();
        var file = Path.Combine(folder.Path, "key");
        Assert.Equal((false, $"{file} is missing"), CheckList.Closed(file));
        File.WriteAllText(file, "secret");
        File.SetUnixFileMode(file, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.GroupRead | UnixFileMode.OtherRead);
        var (good, open) = CheckList.Closed(file);
        Assert.False(good);
        Assert.Contains($"chmod 600 {file}", open, StringComparison.Ordinal);
        File.SetUnixFileMode(file, UnixFileMode.UserRead | UnixFileMode.UserWrite);
        Assert.Equal((true, $"{file}, closed to others"), CheckList.Closed(file));
    }
}
