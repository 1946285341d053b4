using Evenwater.Nights.Bound;
using Evenwater.Nights.Faults;
using Evenwater.Nights.Judging;
using Evenwater.Nights.Months;
using Evenwater.Nights.Pacing;
using Evenwater.Nights.Plant;
using Xunit.MicrosoftTestingPlatform;
using Xunit.Runner.InProc.SystemConsole;

namespace Evenwater.Nights;

/// <summary>Runs the tests, as every test project does, or, asked for `write`, `judge`, `likeness`, `bound` or `faults`, writes, judges, bounds or rehearses nights.</summary>
internal static class Program
{
    public static Task<int> Main(string[] args) => args switch
    {
        ["write", .. var rest] => Task.FromResult(WriteNights.Run(rest, Console.Out, Console.Error)),
        ["faults", .. var rest] => Task.FromResult(FaultsCommand.Run(rest, Console.Out, Console.Error)),
        ["pace", .. var rest] => Task.FromResult(PaceCommand.Run(rest, Console.Out, Console.Error)),
        ["swings", .. var rest] => Task.FromResult(SwingsCommand.Run(rest, Console.Out, Console.Error)),
        ["bound", .. var rest] => Task.FromResult(BoundCommand.Run(rest, Console.Out, Console.Error)),
        ["likeness", var folder] when Directory.Exists(folder) => Said(Likeness.Of(folder)),
        ["judge", .. var rest] => Task.FromResult(JudgeNights.Run(rest, Console.Out, Console.Error)),
        _ when args.Any(a => a is "--server" or "--internal-msbuild-node") =>
            TestPlatformTestFramework.RunAsync(args, SelfRegisteredExtensions.AddSelfRegisteredExtensions),
        _ => ConsoleRunner.Run(args),
    };

    private static Task<int> Said(IEnumerable<string> lines)
    {
        foreach (var line in lines)
        {
            Console.WriteLine(line);
        }

        return Task.FromResult(0);
    }
}
