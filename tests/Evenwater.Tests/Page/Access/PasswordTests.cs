using System.Text;
using Evenwater.Page.Access;
using Evenwater.Tests.Daemon;

namespace Evenwater.Tests.Page.Access;

/// <summary>The page's password: its hash against published values, what is taken, and how it is set.</summary>
public class PasswordTests
{
    // RFC 7914, section 11: PBKDF2-HMAC-SHA-256, 64 bytes; computed again by Python's hashlib.
    [Theory]
    [InlineData("passwd", "salt", 1, "55ac046e56e3089fec1691c22544b605f94185216dde0465e68b9d57c20dacbc49ca9cccf179b645991664b39d77ef317c71b845b1e30bd509112041d3a19783")]
    [InlineData("Password", "NaCl", 80000, "4ddcd8f60b98be21830cee5ef22701f9641a4418d04c0414aeff08876b34ab56a1d425a1225833549adb841b51c9b3176a272bdebba1d078478f62b397f33c8d")]
    public void The_hash_is_the_published_one(string password, string salt, int iterations, string hash)
    {
        var published = new PasswordHash(iterations, Encoding.ASCII.GetBytes(salt), Convert.FromHexString(hash));
        Assert.True(published.IsOf(password));
        Assert.False(published.IsOf(password + " "));
    }

    [Theory]
    [InlineData("$pbkdf2-sha256$i=600000$AAECAwQFBgcICQoLDA0ODw==$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA=", true)]
    [InlineData("$pbkdf2-sha256$i=599999$AAECAwQFBgcICQoLDA0ODw==$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA=", false)] // too cheap
    [InlineData("$pbkdf2-sha256$i=6000001$AAECAwQFBgcICQoLDA0ODw==$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA=", false)] // too dear
    [InlineData("$pbkdf2-sha256$i=600000$AAECAwQFBgcICQoLDA0O$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA=", false)] // 15 bytes of salt
    [InlineData("$pbkdf2-sha256$i=600000$AAECAwQFBgcICQoLDA0ODw==$AAAA", false)]
    [InlineData("$pbkdf2-sha512$i=600000$AAECAwQFBgcICQoLDA0ODw==$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA=", false)]
    [InlineData("$pbkdf2-sha256$i=-600000$AAECAwQFBgcICQoLDA0ODw==$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA=", false)]
    [InlineData("open sesame, please", false)]
    public void A_line_is_a_hash_of_enough_cost_or_none(string line, bool good) => Assert.Equal(good ? line : null, PasswordHash.Parse(line)?.ToString());

    [Theory]
    [InlineData("short", "12 to 256")]
    [InlineData("elevenchars", "12 to 256")]
    [InlineData("aaaaaaaaaaaaaaaaaaaa", "tried first")]
    [InlineData("abababababababab", "tried first")]
    [InlineData("123456789012", "tried first")]
    [InlineData("abcdefghijklmnop", "tried first")]
    [InlineData("Evenwater2026!", "tried first")]
    [InlineData("password123456", "tried first")]
    [InlineData("snail\tpail\tdrip", "can not be typed")]
    [InlineData("eau du caf\uFFFD, bien froide", "UTF-8")] // what .NET reads for a byte that is none (Unicode 16, section 3.9, U+FFFD substitution)
    public void What_is_short_or_tried_first_is_refused(string password, string why) => Assert.Contains(why, PasswordRules.Refusal(password)!, StringComparison.Ordinal);

    [Theory]
    [InlineData("pail snail drip night")]
    [InlineData("twelve chars")]
    [InlineData("nodigitsnosigns")]
    [InlineData("Überläufe im Eimer")]
    [InlineData("🐌🐟💧🪣🌙🐌🐟💧🪣🌙🐌🐟")]
    public void No_kind_of_character_is_asked_for_and_none_is_forbidden(string password) => Assert.Null(PasswordRules.Refusal(password));

    [Fact]
    public void A_long_one_is_taken() => Assert.Null(PasswordRules.Refusal(string.Concat(Enumerable.Range(0, 64).Select(i => (char)('a' + (i * 7 % 26))))));

    [Fact]
    public async Task It_is_set_from_standard_input_and_nothing_but_its_hash_is_kept_closed_to_others()
    {
        using var program = new ProgramUnderTest();
        var file = Path.Combine(program.Folder, "page-password");
        var process = program.Start("password", "--out", file);
        await process.StandardInput.WriteLineAsync("pail snail drip night");
        process.StandardInput.Close();
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.Equal(0, process.ExitCode);
        Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(file));
        var (hash, problem) = PasswordFile.Read(file);
        Assert.Null(problem);
        Assert.True(hash!.IsOf("pail snail drip night"));
        Assert.False(hash.IsOf("pail snail drip nighT"));
        Assert.Equal([file], Directory.GetFiles(program.Folder, "page-password*"));
    }

    [Fact]
    public async Task Two_hashes_of_one_password_differ_and_many_at_once_are_looked_at_one_by_one_or_sent_away()
    {
        var (now, most) = (0, 0);
        using var held = new ManualResetEventSlim();
        using var desk = new PasswordDesk(password =>
        {
            most = Math.Max(most, Interlocked.Increment(ref now));
            held.Wait();
            Interlocked.Decrement(ref now);
            return password == "right";
        });
        var asked = Enumerable.Range(0, 8).Select(i => desk.IsRightAsync(i == 0 ? "right" : "wrong", TestContext.Current.CancellationToken)).ToList();
        Assert.Equal(3, asked.Count(a => a is { IsCompletedSuccessfully: true, Result: null })); // one and four waiting
        held.Set();
        var answers = await Task.WhenAll(asked);
        Assert.Equal([true, false, false, false, false, null, null, null], answers);
        Assert.Equal(1, most);
        Assert.NotEqual(PasswordHash.Of("right").ToString(), PasswordHash.Of("right").ToString());
    }
}
