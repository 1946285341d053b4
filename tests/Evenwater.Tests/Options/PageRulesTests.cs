using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using Evenwater.Options;
using Evenwater.Page.Access;

namespace Evenwater.Tests.Options;

/// <summary>The key "page": beyond this computer only with a password and a list of hosts, and each refusal says key, value, what is allowed and what to do.</summary>
public sealed class PageRulesTests : IDisposable
{
    private const string Beyond = "\"listen\": [\"192.0.2.20\"]";

    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("evenwater-page-");

    public void Dispose() => _folder.Delete(recursive: true);

    [Fact]
    public void The_loopback_needs_nothing_and_what_reaches_further_needs_a_password_and_hosts()
    {
        Assert.Empty(Problems(""));
        Assert.Empty(Problems("\"listen\": [\"127.0.0.1\", \"127.0.0.9\", \"::1\"]"));
        Assert.Empty(Problems($"{Beyond}, \"hosts\": [\"pail.example\", \"192.0.2.20\", \"[2001:db8::20]\"], \"passwordFile\": \"{Hash()}\""));
        Assert.Collection(
            Problems(Beyond),
            problem => Assert.Equal("page.passwordFile: null. Allowed: a file with a password's hash when page.listen (192.0.2.20) reaches beyond this computer. Make one with `evenwater password --out FILE`, or take page.listen out.", problem),
            problem => Assert.StartsWith("page.hosts: empty. Allowed: 1 to 16 names when page.listen (192.0.2.20) reaches beyond", problem, StringComparison.Ordinal));
    }

    [Fact]
    public void Whoever_asks_for_it_no_door_is_opened_beyond_the_loopback_without_them() =>
        Assert.StartsWith("page.passwordFile: null.", Assert.Throws<IOException>(() => PageDoor.Of(new PageOptions { Listen = ["192.0.2.20"] })).Message, StringComparison.Ordinal);

    [Theory]
    [InlineData("0.0.0.0")]
    [InlineData("::")]
    [InlineData("::ffff:192.0.2.20")]
    [InlineData("192.0.2.20")]
    public void Every_address_but_the_loopback_reaches_further(string address) =>
        Assert.Equal(["page.passwordFile", "page.hosts"], Problems($"\"listen\": [\"127.0.0.1\", \"{address}\"]").Select(p => p.Split(':')[0]).Where(key => key != "page.listen[1]"));

    [Theory] // the first five were tried: "address already in use", on a free port
    [InlineData("127.0.0.1", "127.0.0.1", true)]
    [InlineData("::1", "0:0:0:0:0:0:0:1", true)]
    [InlineData("127.0.0.1", "0.0.0.0", true)]
    [InlineData("0.0.0.0", "::", true)]
    [InlineData("::", "::1", true)]
    [InlineData("192.0.2.20", "::ffff:192.0.2.20", true)]
    [InlineData("127.0.0.1", "127.0.0.9", false)]
    [InlineData("127.0.0.1", "::1", false)]
    [InlineData("::1", "0.0.0.0", false)]
    public void Two_addresses_of_which_one_holds_the_other_are_refused_by_key(string one, string other, bool refused) => Assert.Equal(
        refused ? [$"page.listen[1]: \"{other}\". Allowed: an address beside \"{one}\": each once, \"0.0.0.0\" beside none of IPv4, \"::\" alone. Keep the one that reaches as far as you want."] : [],
        Problems($"\"listen\": [\"{one}\", \"{other}\"]").Where(p => p.StartsWith("page.listen", StringComparison.Ordinal)));

    [Theory]
    [InlineData("\"\"")]
    [InlineData("null")]
    [InlineData("\"*\"")]
    [InlineData("\"localhost\"")]
    [InlineData("\"1\"")]
    [InlineData("\"127.1\"")]
    [InlineData("\"0x7f000001\"")]
    [InlineData("\"[::1]\"")]
    [InlineData("\"127.0.0.1:80\"")]
    public void An_address_is_written_by_number(string address) =>
        Assert.StartsWith($"page.listen[0]: {address}. Allowed: an address by number", Assert.Single(Problems($"\"listen\": [{address}]")), StringComparison.Ordinal);

    [Theory]
    [InlineData("*")]
    [InlineData("0.0.0.0")]
    [InlineData("[::]")]
    [InlineData("[0:0:0:0:0:0:0:0]")]
    [InlineData("*.example")]
    [InlineData("pail.example:8480")]
    [InlineData("http://pail.example")]
    [InlineData("pail example")]
    [InlineData("-pail")]
    [InlineData("pail..example")]
    [InlineData("")]
    public void A_host_is_one_name(string host) =>
        Assert.StartsWith($"page.hosts[0]: \"{host}\". Allowed: a name", Assert.Single(Problems($"\"hosts\": [\"{host}\"]")), StringComparison.Ordinal);

    [Theory]
    [InlineData("correct horse battery staple")]
    [InlineData("$pbkdf2-sha256$i=1000$AAAAAAAAAAAAAAAAAAAAAA==$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA=")]
    [InlineData("")]
    public void A_file_without_a_hash_is_refused_and_its_content_is_not_told(string content)
    {
        var problem = Assert.Single(Problems($"\"passwordFile\": \"{Write("secret", content)}\""));
        Assert.StartsWith("page.passwordFile: ", problem, StringComparison.Ordinal);
        Assert.True(content.Length == 0 || !problem.Contains(content, StringComparison.Ordinal), "the file's content was told");
    }

    [Theory]
    [InlineData("passwordFile")]
    [InlineData("metricsTokenFile")]
    [InlineData("keyFile")]
    public void A_secret_that_others_can_read_is_refused(string key)
    {
        var (certificate, certificateKey) = Certificate();
        var files = new Dictionary<string, string>
        {
            ["passwordFile"] = Hash(), ["metricsTokenFile"] = Write("token", new string('a', 32)), ["certificateFile"] = certificate, ["keyFile"] = certificateKey,
        };
        var text = string.Join(", ", files.Select(f => $"\"{f.Key}\": \"{f.Value}\""));
        Assert.Empty(Problems(text));
        File.SetUnixFileMode(files[key], UnixFileMode.UserRead | UnixFileMode.OtherRead);
        Assert.StartsWith($"page.{key}: {files[key]}, which everybody may read or write", Assert.Single(Problems(text)), StringComparison.Ordinal);
    }

    [Fact]
    public void What_belongs_together_comes_together_and_what_is_no_key_is_refused()
    {
        var (certificate, key) = Certificate();
        Assert.StartsWith("page.keyFile: null", Assert.Single(Problems($"\"certificateFile\": \"{certificate}\"")), StringComparison.Ordinal);
        Assert.StartsWith("page.certificateFile: null", Assert.Single(Problems($"\"keyFile\": \"{key}\"")), StringComparison.Ordinal);
        Assert.StartsWith("page.certificateFile: ", Assert.Single(Problems($"\"certificateFile\": \"{certificate}\", \"keyFile\": \"{Write("other", "no key")}\"")), StringComparison.Ordinal);
        Assert.StartsWith("page.metricsTokenFile: ", Assert.Single(Problems($"\"metricsTokenFile\": \"{Write("token", new string('a', 32))}\"")), StringComparison.Ordinal);
        Assert.StartsWith("page.metricsTokenFile: ", Assert.Single(Problems($"\"passwordFile\": \"{Hash()}\", \"metricsTokenFile\": \"{Write("token", new string('a', 31))}\"")), StringComparison.Ordinal);
        Assert.StartsWith("page.port: 0", Assert.Single(Problems("\"port\": 0")), StringComparison.Ordinal);
    }

    [Fact]
    public void A_credential_is_missed_by_the_service_alone()
    {
        Assert.StartsWith("page.passwordFile: page-password, which cannot be read", Assert.Single(Problems("\"passwordFile\": \"page-password\"")), StringComparison.Ordinal);
        Assert.Empty(Problems("\"passwordFile\": \"page-password\"", serving: false));
    }

    [Fact]
    public void Every_key_is_told_in_the_configuration_document()
    {
        var told = Documents.Repository.Text("config", "README.md");
        var names = typeof(PageOptions).GetProperties().Select(p => System.Text.Json.JsonNamingPolicy.CamelCase.ConvertName(p.Name)).ToList();
        Assert.Contains("passwordFile", names);
        Assert.All(names, name => Assert.Contains($"`page.{name}`", told, StringComparison.Ordinal));
        var rows = System.Text.RegularExpressions.Regex.Matches(told, @"^\| `page\.([A-Za-z]+)` \|", System.Text.RegularExpressions.RegexOptions.Multiline).Select(m => m.Groups[1].Value);
        Assert.Equal(names.Order(StringComparer.Ordinal), rows.Order(StringComparer.Ordinal));
    }

    private string Hash() => Write("hash", new PasswordHash(PasswordHash.UsualIterations, new byte[16], new byte[32]).ToString());

    private (string Certificate, string Key) Certificate()
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        using var made = new CertificateRequest("CN=pail.example", key, HashAlgorithmName.SHA256).CreateSelfSigned(DateTimeOffset.UnixEpoch, DateTimeOffset.UnixEpoch.AddYears(100));
        return (Write("certificate", made.ExportCertificatePem()), Write("key", key.ExportPkcs8PrivateKeyPem()));
    }

    private string Write(string name, string content)
    {
        var file = Path.Combine(_folder.FullName, name);
        File.Delete(file);
        File.WriteAllText(file, content);
        File.SetUnixFileMode(file, UnixFileMode.UserRead | UnixFileMode.UserWrite);
        return file;
    }

    private List<string> Problems(string page, bool serving = true)
    {
        var file = Path.Combine(_folder.FullName, "evenwater.json");
        var station = Path.Combine(Documents.Repository.Root, "config", "stations", "sim-river.json");
        File.WriteAllText(file, $$"""{ "stations": ["{{station}}"], "page": { {{page}} } }""");
        return [.. MainFile.Read(file, serving).Problems.Select(p => p.ToString())];
    }
}
