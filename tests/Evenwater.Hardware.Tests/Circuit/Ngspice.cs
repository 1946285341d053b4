using System.Diagnostics;
using System.Globalization;
using System.Text.RegularExpressions;

namespace Evenwater.HardwareTests.Circuit;

/// <summary>The circuit simulator, one process a deck. Its Debian package is ngspice.</summary>
internal static partial class Ngspice
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(120);

    /// <summary>
    /// Runs a deck and gives what it measured, by name. A measure that found nothing is not there. ngspice goes on and ends with 0 when a deck changes a part
    /// that is not there; here that is an error.
    /// </summary>
    public static IReadOnlyDictionary<string, double> Run(string deck)
    {
        var file = Path.Combine(Path.GetTempPath(), $"evenwater-{Guid.NewGuid():N}.cir");
        File.WriteAllText(file, deck);
        try
        {
            var start = new ProcessStartInfo("ngspice", ["-b", file]) { RedirectStandardOutput = true, RedirectStandardError = true };
            using var process = Process.Start(start)!;
            var errors = process.StandardError.ReadToEndAsync();
            var output = process.StandardOutput.ReadToEndAsync();
            if (!process.WaitForExit(Patience))
            {
                process.Kill();
                throw new TimeoutException($"ngspice was still at it after {Patience.TotalSeconds:0} s");
            }

            var said = output.Result;
            return process.ExitCode == 0 && said.Contains("ngspice-", StringComparison.Ordinal) && !Wrong().IsMatch(errors.Result)
                ? Measures().Matches(said).ToDictionary(
                    match => match.Groups[1].Value, match => double.Parse(match.Groups[2].Value, CultureInfo.InvariantCulture))
                : throw new InvalidOperationException($"ngspice ended with {process.ExitCode}:\n{errors.Result}\n{said[..Math.Min(said.Length, 2000)]}");
        }
        finally
        {
            File.Delete(file);
        }
    }

    [GeneratedRegex("no such|singular|timestep too small|aborted", RegexOptions.IgnoreCase)]
    private static partial Regex Wrong();

    [GeneratedRegex(@"^(\w+)\s+=\s+([-+.\deE]+)", RegexOptions.Multiline)]
    private static partial Regex Measures();
}
