using System.CommandLine;
using System.IO.Compression;
using Evenwater.Core.Telling;
using Evenwater.Exporting;

namespace Evenwater.Commands;

/// <summary>evenwater import: a new log from a complete export.</summary>
internal static class ImportCommand
{
    public static Command Create()
    {
        var log = new Option<string>("--log") { Description = "the folder of the new log; it must not exist, or be empty", Required = true, HelpName = "FOLDER" };
        var file = new Argument<string>("FILE") { Description = "what `evenwater export --as log` wrote, .gz or not; - is standard input. CSV, SenML and line protocol are for other programs and can not be imported" };
        var command = new Command("import", "Make a new log from a complete export (--as log): the same entries, numbers and identity; followers begin anew.") { log, file };
        command.SetAction(parse =>
        {
            var progress = Progress.OnTerminal();
            try
            {
                var name = parse.GetValue(file)!;
                using var plain = name == "-" ? Console.OpenStandardInput() : File.OpenRead(name);
                using var stream = name.EndsWith(".gz", StringComparison.Ordinal) ? new GZipStream(plain, CompressionMode.Decompress) : plain;
                using var reader = new StreamReader(stream);
                var entries = LogImport.Run(reader, parse.GetValue(log)!, entries => progress.Tell(HowMany.Of(entries, "entry", "entries")));
                progress.End();
                return Exit.Tell(true, $"{HowMany.Of(entries, "entry", "entries")} imported into {parse.GetValue(log)}.");
            }
            catch (Exception e) when (e is IOException or InvalidDataException or UnauthorizedAccessException)
            {
                progress.End();
                return Exit.Wrong($"{parse.GetValue(file)} was not imported: {e.Message}");
            }
        });
        return command;
    }
}
