using System.ComponentModel;
using System.Diagnostics;

namespace Evenwater.Watch;

/// <summary>Asks this computer's systemd about the daemon's unit.</summary>
internal static class UnitHere
{
    public const string Name = "evenwater.service";

    /// <summary>What tells the broker that the daemon has given up.</summary>
    public const string Last = "evenwater-gave-up@raise.service";

    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(10);

    /// <summary>Whether systemd runs this computer, sd_booted(3).</summary>
    public static bool Systemd => Directory.Exists("/run/systemd/system");

    /// <summary>A unit with its drop-ins, or null when it is not installed.</summary>
    public static async Task<UnitText?> ReadAsync(string name = Name) =>
        await SaidAsync("systemctl", "cat", "--no-pager", name) is { Exit: 0, Out: var text } ? UnitText.Parse(text) : null;

    /// <summary>What systemd itself does not understand in it: an unknown directive is otherwise left out with a word in the journal.</summary>
    public static async Task<IReadOnlyList<string>> NotUnderstoodAsync() =>
        await SaidAsync("systemd-analyze", "verify", "--man=no", Name) is { } said
            ? [.. said.Error.Split('\n').Where(l => l.Contains("evenwater", StringComparison.Ordinal)).Distinct(StringComparer.Ordinal)]
            : [];

    private static async Task<(int Exit, string Out, string Error)?> SaidAsync(string program, params string[] args)
    {
        var info = new ProcessStartInfo(program, args) { RedirectStandardOutput = true, RedirectStandardError = true };
        info.Environment["SYSTEMD_COLORS"] = "0";
        try
        {
            using var process = Process.Start(info)!;
            using var patience = new CancellationTokenSource(Patience);
            try
            {
                var (output, error) = (process.StandardOutput.ReadToEndAsync(patience.Token), process.StandardError.ReadToEndAsync(patience.Token));
                var said = (await output, await error);
                await process.WaitForExitAsync(patience.Token);
                return (process.ExitCode, said.Item1, said.Item2);
            }
            catch (OperationCanceledException)
            {
                process.Kill();
                return null;
            }
        }
        catch (Win32Exception)
        {
            return null; // not installed
        }
    }
}
