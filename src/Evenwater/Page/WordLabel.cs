using Evenwater.Core.Telling;

namespace Evenwater.Page;

/// <summary>The one word as it is shown; a silent station is not believed unless it called for a person.</summary>
internal static class WordLabel
{
    public static StateWord Believed(in Posted posted) => posted.IsSilent && posted.View.Word != StateWord.Act ? StateWord.CannotTell : posted.View.Word;

    public static string Of(in Posted posted) => Of(Believed(posted));

    public static string Of(StateWord word) => word == StateWord.CannotTell ? "Can't tell" : word.ToString();
}
