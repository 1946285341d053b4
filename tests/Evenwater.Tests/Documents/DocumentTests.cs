using System.Text.RegularExpressions;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Options;
using Evenwater.Tests.Options;

namespace Evenwater.Tests.Documents;

public partial class DocumentTests
{
    [Fact]
    public void Every_link_between_documents_leads_to_a_file()
    {
        var links = Repository.Documents()
            .SelectMany(document => Links().Matches(File.ReadAllText(document)).Select(match => (document, target: match.Groups[1].Value)))
            .Where(link => !link.target.Contains("://", StringComparison.Ordinal))
            .ToList();
        Assert.True(links.Count > 8, $"only {links.Count} links were found");
        Assert.All(links, link => Assert.True(
            File.Exists(Path.Combine(Path.GetDirectoryName(link.document)!, link.target)) || Directory.Exists(Path.Combine(Path.GetDirectoryName(link.document)!, link.target)),
            $"{link.document} points to {link.target}, which is not there"));
    }

    [Fact]
    public void Nothing_promises_what_hobby_software_cannot()
    {
        var texts = Repository.Documents().Concat(Repository.Files("src", "*.cs")).Concat(Repository.Files("src", "*.razor")).ToList();
        Assert.True(texts.Count > 50, $"only {texts.Count} files were found");
        Assert.All(texts, file => Assert.DoesNotMatch(Promises(), File.ReadAllText(file)));
    }

    [Fact]
    public void The_readme_says_that_this_is_not_a_safety_device_and_numbers_all_cautions()
    {
        var readme = Repository.Text("README.md");
        Assert.Contains("not a safety device", readme, StringComparison.Ordinal);
        Assert.Equal(Enumerable.Range(1, 23), Numbered().Matches(readme).Take(23).Select(match => int.Parse(match.Groups[1].Value)));
    }

    [Theory]
    [InlineData("README.md")]
    [InlineData("hardware/README.md")]
    public void Every_caution_of_the_program_is_one_of_the_documents_too(string document)
    {
        var text = Repository.Text(document.Split('/')).Split("## Proof tests")[0];
        Assert.All(SafetyCautions.All, caution => Assert.Contains(caution.Topic, text, StringComparison.OrdinalIgnoreCase));
    }

    [Fact]
    public void The_proof_test_of_the_hardware_document_has_the_programs_parts_in_its_order()
    {
        var section = Repository.Text("hardware", "README.md").Split("## Proof tests")[1].Split("\n## ")[0];
        var parts = Enum.GetValues<ProofPart>().Where(part => part != ProofPart.None).Select(part => ProofParts.Of(part).Name).ToList();
        Assert.Equal(parts, Parts().Matches(section).Select(match => match.Groups[1].Value.ToLowerInvariant()).Take(parts.Count));
    }

    /// <summary>Who builds it copies this part of a station file: it has to be one, and to say what the wiring table says.</summary>
    [Fact]
    public void The_sensors_of_the_hardware_document_make_a_good_station_file_by_its_own_wiring()
    {
        var text = Repository.Text("hardware", "README.md");
        var sensors = Sensors().Match(text).Groups[1].Value;
        var reading = StationFile.Parse(StationSensors().Replace(GoodFile.Text.Replace("\"sim-river\"", "\"river\"", StringComparison.Ordinal), $"{sensors},\n", 1));
        Assert.Empty(reading.Problems);
        Assert.Equal(SensorSource.Board, reading.Station!.Sensors.Source);
        Assert.NotEqual(reading.Station.Sensors.VesselConductivity.AdcAddress, reading.Station.Sensors.TankConductivity!.AdcAddress); // two inputs of one converter share its ground
        var lines = Line().Matches(sensors).Select(match => match.Value).ToList();
        Assert.Equal(4, lines.Count);
        Assert.All(lines, line => Assert.Contains($"`{line}`", text, StringComparison.Ordinal));
    }

    [Fact]
    public void The_configuration_document_has_the_limits_of_every_group()
    {
        var manual = Repository.Text("config", "README.md").Replace(",", "", StringComparison.Ordinal);
        Assert.All(Enum.GetValues<AnimalGroup>(), group =>
        {
            var limits = AnimalLimits.Of(group);
            var name = System.Text.Json.JsonNamingPolicy.CamelCase.ConvertName(group.ToString());
            Assert.Contains(
                FormattableString.Invariant($"| \"{name}\" | {limits.MicrosiemensPerCmPerHour!.Value.Value:0.##}; {limits.TotalMicrosiemensPerCm!.Value.Value:0.##} | {limits.CelsiusPerHour!.Value.Value:0.##}; {limits.TotalCelsius!.Value.Value:0.##} | {limits.TotalPh!.Value.Value:0.##} |"),
                manual, StringComparison.Ordinal);
        });
    }

    [Fact]
    public void The_readme_begins_with_exactly_two_commands()
    {
        var top = Repository.Text("README.md").Split("**State of things.**")[0];
        Assert.Equal(
            ["dotnet run --project src/Evenwater -c Release -- serve", "bash tests/run"],
            Commands().Matches(top).Select(match => match.Groups[1].Value.Trim()));
    }

    [Fact]
    public void The_service_always_names_its_configuration_and_is_killed_soon_when_it_hangs()
    {
        var unit = Repository.Text("systemd", "evenwater.service").Split('\n');
        var start = Assert.Single(unit, line => line.StartsWith("ExecStart=", StringComparison.Ordinal));
        Assert.EndsWith(" serve --config /etc/evenwater/evenwater.json", start, StringComparison.Ordinal);
        Assert.Contains("Type=notify", unit);
        Assert.Contains("Restart=always", unit);
        Assert.Contains("WatchdogSec=2", unit);
        Assert.Contains("WatchdogSignal=SIGKILL", unit);
    }

    /// <summary>The install text has 'evenwater check' run as the daemon's user before the unit has ever made its folder, and that user may make none below /var/lib: the check broke off there.</summary>
    [Fact]
    public void The_state_folder_is_there_before_the_first_start_as_the_unit_would_make_it()
    {
        Assert.Matches(@"(?m)^d /var/lib/evenwater +0700 evenwater evenwater -$", Repository.Text("systemd", "tmpfiles.conf"));
        var unit = Repository.Text("systemd", "evenwater.service").Split('\n');
        Assert.Contains("StateDirectory=evenwater", unit);
        Assert.Contains("StateDirectoryMode=0700", unit);
        Assert.Contains("User=evenwater", unit);
    }

    /// <summary>The watcher has a user of its own, made at each start, and the daemon's tmpfiles.d closes /etc/evenwater to all but the daemon's group: with both the watcher could not read its file, and stayed down.</summary>
    [Fact]
    public void The_watcher_is_installed_without_what_would_close_its_configuration_to_it()
    {
        Assert.Contains("\nDynamicUser=yes\n", Repository.Text("systemd", "evenwater-watch.service"), StringComparison.Ordinal);
        Assert.Contains("/etc/evenwater          0750 root evenwater", Repository.Text("systemd", "tmpfiles.conf"), StringComparison.Ordinal);
        var section = Repository.Text("systemd", "install.md").Split("## A watcher on another computer")[1].Split("\n## ")[0];
        Assert.Contains("/opt/evenwater", section.Split("```sh")[1].Split("```")[0], StringComparison.Ordinal);
        Assert.Contains("Leave out `tmpfiles.conf`", section, StringComparison.Ordinal);
    }

    [GeneratedRegex("```json\n(\"sensors\": .*?)\n```", RegexOptions.Singleline)]
    private static partial Regex Sensors();

    [GeneratedRegex("\"sensors\": \\{.*?\n  \\},\n", RegexOptions.Singleline)]
    private static partial Regex StationSensors();

    [GeneratedRegex("\"\\w+Line\": \\d+")]
    private static partial Regex Line();

    [GeneratedRegex(@"\]\(([^)#\s]+)")]
    private static partial Regex Links();

    [GeneratedRegex("fail-?safe|guarantee|leak-?proof|foolproof", RegexOptions.IgnoreCase)]
    private static partial Regex Promises();

    [GeneratedRegex(@"^\d+\. \*\*(.+?)\*\*", RegexOptions.Multiline)]
    private static partial Regex Parts();

    [GeneratedRegex(@"^(\d+)\. ", RegexOptions.Multiline)]
    private static partial Regex Numbered();

    [GeneratedRegex(@"^```sh\n(.+?)^```", RegexOptions.Multiline | RegexOptions.Singleline)]
    private static partial Regex Commands();
}
