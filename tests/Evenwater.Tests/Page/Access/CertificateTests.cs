using System.Net;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using Evenwater.Page.Access;

namespace Evenwater.Tests.Page.Access;

/// <summary>A page that no browser opens on the night it is needed is told of before. That only subjectAltName counts: RFC 9110, section 4.3.4, and RFC 9525.</summary>
public sealed class CertificateTests
{
    private static readonly DateTimeOffset From = new(2026, 3, 1, 12, 0, 0, TimeSpan.Zero);

    [Fact]
    public void One_that_counts_for_all_hosts_is_not_doubted() => Assert.Empty(Doubts(From.AddDays(30), "pail.example", "192.0.2.20", "[2001:db8::20]"));

    [Theory]
    [InlineData(-0.01, "it counts from 2026-03-01 12:00 UTC on, and by this clock it is 2026-03-01 11:45: browsers warn or refuse.")]
    [InlineData(76.01, "it ends on 2026-05-30 12:00 UTC: browsers then warn or refuse. Put a renewed one in its place")]
    [InlineData(90.01, "it ended on 2026-05-30 12:00 UTC: browsers warn or refuse. Put a renewed one in its place")]
    public void One_that_does_not_count_yet_or_for_long_is_told_of(double days, string words) =>
        Assert.StartsWith(words, Assert.Single(Doubts(From.AddDays(days), "pail.example")), StringComparison.Ordinal);

    [Theory]
    [InlineData(0)]
    [InlineData(75.9)]
    public void Up_to_a_fortnight_before_its_end_nothing_is_told(double days) => Assert.Empty(Doubts(From.AddDays(days), "pail.example"));

    [Theory]
    [InlineData("pond.example")]
    [InlineData("192.0.2.21")]
    [InlineData("[2001:db8::21]")]
    [InlineData("named.only")]
    public void A_host_that_it_is_not_for_is_told_of(string host) =>
        Assert.StartsWith($"it is not for {host}, which page.hosts names", Assert.Single(Doubts(From.AddDays(1), "pail.example", host)), StringComparison.Ordinal);

    private static string[] Doubts(DateTimeOffset now, params string[] hosts)
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var wanted = new CertificateRequest("CN=named.only", key, HashAlgorithmName.SHA256);
        var names = new SubjectAlternativeNameBuilder();
        names.AddDnsName("pail.example");
        names.AddIpAddress(IPAddress.Parse("192.0.2.20"));
        names.AddIpAddress(IPAddress.Parse("2001:db8::20"));
        wanted.CertificateExtensions.Add(names.Build());
        using var made = wanted.CreateSelfSigned(From, From.AddDays(90));
        return [.. PageCertificate.Doubts(made, hosts, now)];
    }
}
