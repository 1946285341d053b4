using Evenwater.Followers;
using Evenwater.Options;

namespace Evenwater.Tests.Options;

/// <summary>The key of mqtt.askKeyFile: a file, closed to others, whose content is never told.</summary>
public sealed class AskKeyTests : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("evenwater-key-");

    public void Dispose() => _folder.Delete(recursive: true);

    [Fact]
    public void A_good_key_is_read_with_or_without_a_line_end()
    {
        var digits = string.Concat(Enumerable.Range(0, 32).Select(i => $"{i:x2}"));
        Assert.Equal(Enumerable.Range(0, 32).Select(i => (byte)i), AskKey.Read(Write(digits + "\n")).Key!);
        Assert.Equal(Enumerable.Range(0, 32).Select(i => (byte)i), AskKey.Read(Write(digits.ToUpperInvariant())).Key!);
    }

    [Theory]
    [InlineData("")]
    [InlineData("secret")]
    [InlineData("00112233445566778899aabbccddeeff00112233445566778899aabbccddeef")]
    [InlineData("00112233445566778899aabbccddeeff00112233445566778899aabbccddeeffa")]
    [InlineData("0011223344556677 899aabbccddeeff00112233445566778899aabbccddeeff")]
    [InlineData("zz112233445566778899aabbccddeeff00112233445566778899aabbccddeeff")]
    public void A_bad_key_stops_the_start_and_is_not_told(string content)
    {
        var problem = Assert.Single(Configured(Write(content)).Problems);
        Assert.Equal("mqtt.askKeyFile", problem.Key);
        Assert.Contains("64 hexadecimal digits", problem.Allowed, StringComparison.Ordinal);
        Assert.True(content.Length == 0 || !problem.ToString().Contains(content, StringComparison.Ordinal), "the key's content was told");
    }

    [Theory]
    [InlineData(UnixFileMode.OtherRead)]
    [InlineData(UnixFileMode.OtherWrite)]
    public void A_key_that_everybody_may_read_or_write_stops_the_start(UnixFileMode others)
    {
        var file = Write(new string('a', 64));
        Assert.Empty(Configured(file).Problems);
        File.SetUnixFileMode(file, File.GetUnixFileMode(file) | others);
        Assert.Contains("everybody may read or write", Assert.Single(Configured(file).Problems).Value, StringComparison.Ordinal);
    }

    [Fact]
    public void A_key_that_is_not_there_is_named() =>
        Assert.Contains("no-such-key, which cannot be read", Assert.Single(Configured(Path.Combine(_folder.FullName, "no-such-key")).Problems).Value, StringComparison.Ordinal);

    [Fact]
    public void A_key_among_the_services_credentials_stops_the_start_without_it_and_is_not_missed_by_a_check()
    {
        Assert.Equal("mqtt.askKeyFile", Assert.Single(Configured("mqtt-ask-key").Problems).Key);
        Assert.Empty(Configured("mqtt-ask-key", serving: false).Problems);
        Assert.Single(Configured(Path.Combine(_folder.FullName, "no-such-key"), serving: false).Problems);
    }

    private string Write(string content)
    {
        var file = Path.Combine(_folder.FullName, "key");
        File.Delete(file);
        File.WriteAllText(file, content);
        File.SetUnixFileMode(file, UnixFileMode.UserRead | UnixFileMode.UserWrite);
        return file;
    }

    private MainReading Configured(string key, bool serving = true)
    {
        var file = Path.Combine(_folder.FullName, "evenwater.json");
        var station = Path.Combine(Documents.Repository.Root, "config", "stations", "sim-river.json");
        File.WriteAllText(file, $$"""{ "stations": ["{{station}}"], "mqtt": { "host": "127.0.0.1", "askKeyFile": "{{key}}" } }""");
        return MainFile.Read(file, serving);
    }
}
