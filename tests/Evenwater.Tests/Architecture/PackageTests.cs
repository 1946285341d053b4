using System.Text.Json.Nodes;
using Evenwater.Tests.Documents;

namespace Evenwater.Tests.Architecture;

public class PackageTests
{
    /// <summary>It has lock files of its own, or a 'dotnet publish' for one would change those of every other build, and the next 'git pull' of who installs would refuse.</summary>
    [Theory]
    [InlineData("Evenwater.Core")]
    [InlineData("Evenwater.Hardware")]
    [InlineData("Evenwater")]
    public void The_build_for_a_Raspberry_Pi_takes_the_packages_of_every_other_build(string project)
    {
        var here = Locked(project, "packages.lock.json")["dependencies"]!.AsObject();
        var there = Locked(project, "packages.linux-arm64.lock.json")["dependencies"]!.AsObject();
        Assert.True(JsonNode.DeepEquals(here["net10.0"], there["net10.0"]), $"after a change of packages: dotnet publish src/Evenwater -c Release -r linux-arm64 --self-contained -o out, and commit {project}'s lock file");
        Assert.Equal(["net10.0"], here.Select(target => target.Key));
        Assert.Equal(["net10.0", "net10.0/linux-arm64"], there.Select(target => target.Key));
    }

    private static JsonNode Locked(string project, string name) => JsonNode.Parse(Repository.Text("src", project, name))!;
}
