using System.CommandLine;
using Evenwater.Page.Access;
using Spectre.Console;

namespace Evenwater.Commands;

/// <summary>evenwater password: makes the hash that page.passwordFile names. The password itself is written nowhere.</summary>
internal static class PasswordCommand
{
    public static Command Create()
    {
        var to = new Option<string?>("--out") { Description = "the file to write, mode 600; one that is there is replaced. Without it the hash goes to standard output", HelpName = "FILE" };
        var command = new Command("password", "Set the page's password: asks for it without showing it, or reads one line from standard input, and writes its hash.") { to };
        command.SetAction(parse =>
        {
            if ((Console.IsInputRedirected ? Console.In.ReadLine() : Ask()) is not { } password)
            {
                return Exit.Wrong("No password was given: type it twice the same, or write it as one line to standard input.");
            }

            return PasswordRules.Refusal(password) is { } refusal ? Exit.Wrong(refusal) : Write(PasswordHash.Of(password), parse.GetValue(to));
        });
        return command;
    }

    private static int Write(PasswordHash hash, string? file)
    {
        if (file is null)
        {
            return Exit.Tell(true, hash.ToString());
        }

        try
        {
            PasswordFile.Write(file, hash);
            return Exit.Tell(true, $"{file} holds the password's hash. Name it by page.passwordFile, and start the daemon anew: that signs everybody out.");
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return Exit.Wrong($"{file} can not be written: {e.Message}");
        }
    }

    // On standard error: standard output is for the hash. Pasting works, and nothing is shown, not even how long it is.
    private static string? Ask()
    {
        var console = AnsiConsole.Create(new AnsiConsoleSettings { Out = new AnsiConsoleOutput(Console.Error) });
        var password = console.Prompt(new TextPrompt<string>($"The page's new password ({PasswordRules.Shortest} to {PasswordRules.Longest} characters; nothing is shown):").Secret(null));
        return password == console.Prompt(new TextPrompt<string>("The same again:").Secret(null)) ? password : null;
    }
}
