using System.Diagnostics;

namespace Evenwater.Tests.Log;

/// <summary>Runs a program that may need root, such as mount.</summary>
internal static class RootTool
{
    /// <summary>Whether it ended with 0.</summary>
    public static bool Run(string program, params string[] arguments)
    {
        using var process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardError = true })!;
        process.StandardError.ReadToEnd();
        process.WaitForExit();
        return process.ExitCode == 0;
    }
}
