using Evenwater.Hardware.Tests;
using Evenwater.HardwareTests.Circuit;
using Evenwater.HardwareTests.Drawing;
using Xunit.MicrosoftTestingPlatform;
using Xunit.Runner.InProc.SystemConsole;

namespace Evenwater.HardwareTests;

/// <summary>Runs the tests, as every test project does, or, asked to `draw`, writes the drawings of hardware/ anew from their sources.</summary>
internal static class Program
{
    public static Task<int> Main(string[] args) => args switch
    {
        ["draw"] => Task.FromResult(Draw()),
        _ when args.Any(a => a is "--server" or "--internal-msbuild-node") =>
            TestPlatformTestFramework.RunAsync(args, SelfRegisteredExtensions.AddSelfRegisteredExtensions),
        _ => ConsoleRunner.Run(args),
    };

    private static int Draw()
    {
        foreach (var source in Directory.EnumerateFiles(HardwareFolder.Path(""), "*.drawing"))
        {
            var drawing = Path.ChangeExtension(source, ".svg");
            File.WriteAllText(drawing, Svg.Of(Sheet.Read(Path.GetFileName(source))));
            Console.WriteLine(drawing);
        }

        return 0;
    }
}
