using Evenwater.Options;

namespace Evenwater.Tests.Options;

public class PlacesTests
{
    [Theory]
    [InlineData("/home/ann", "/home/ann/.local/state")]
    [InlineData("", "/.local/state")] // nobody(65534) and a service's user: the log had been wherever the program was called from
    public void The_state_folder_never_depends_on_where_the_program_is_called(string home, string folder) => Assert.Equal(folder, Places.InHome(home));
}
