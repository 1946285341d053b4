using System.Diagnostics;
using System.Text.RegularExpressions;
using Evenwater.Followers;
using Evenwater.Running;
using Evenwater.Tests.Documents;
using Evenwater.Tests.Servers;

namespace Evenwater.Tests.Followers;

/// <summary>The signature against an implementation that is not this program's, OpenSSL's command, and that one against a published vector.</summary>
public partial class WorkedExampleTests
{
    [Fact]
    public async Task OpenSSL_s_command_gives_RFC_4231_s_second_vector() =>
        // RFC 4231, section 4.3: key "Jefe".
        Assert.Equal(
            "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843",
            await OpenSslAsync("what do ya want for nothing?", "4a656665"));

    [Fact]
    public async Task The_manual_s_example_is_what_OpenSSL_and_the_program_give()
    {
        var manual = Repository.Text("config", "README.md");
        var example = Example().Match(manual);
        Assert.True(example.Success, "config/README.md has no worked example of a signature");
        var (text, key, mac) = (example.Groups["text"].Value, example.Groups["key"].Value, example.Groups["mac"].Value);
        Assert.Equal(mac, await OpenSslAsync(text, key));

        var part = text.Split(' ');
        var challenge = new Challenge(part[1], part[2], new OpeningBudget(long.Parse(part[3]), long.Parse(part[4])), part[5]);
        Assert.Equal((text, mac), (challenge.Text, challenge.Sign(Convert.FromHexString(key))));
        Assert.Contains($"\"mac\":\"{mac}\"", manual, StringComparison.Ordinal);
        Assert.Contains($"\"nonce\":\"{challenge.Nonce}\",\n", manual, StringComparison.Ordinal);
        Assert.Contains($"{challenge.Shown}", manual, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Any_challenge_is_signed_as_OpenSSL_signs_it()
    {
        foreach (var (verb, budget) in new[] { ("open", new OpeningBudget(1, 0)), ("reset", default), ("open", new OpeningBudget(long.MaxValue, 46_800)) })
        {
            var challenge = Challenge.Of("sim-lagoon", verb, budget);
            Assert.Equal(await OpenSslAsync(challenge.Text, Convert.ToHexString(Desks.Key)), challenge.Sign(Desks.Key));
        }
    }

    internal static async Task<string> OpenSslAsync(string text, string hexKey)
    {
        var start = new ProcessStartInfo(ServerProcess.Find("openssl", "openssl"), ["dgst", "-sha256", "-mac", "HMAC", "-macopt", $"hexkey:{hexKey}"])
        {
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
        };
        using var openssl = Process.Start(start)!;
        await openssl.StandardInput.WriteAsync(text);
        openssl.StandardInput.Close();
        var said = await openssl.StandardOutput.ReadToEndAsync();
        await openssl.WaitForExitAsync();
        return said.Trim().Split(' ')[^1];
    }

    [GeneratedRegex(@"printf '%s' '(?<text>[^']+)' \|\s+openssl dgst -sha256 -mac HMAC -macopt hexkey:(?<key>[0-9a-f]+)\s+# (?<mac>[0-9a-f]{64})")]
    private static partial Regex Example();
}
