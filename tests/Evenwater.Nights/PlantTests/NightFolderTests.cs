using Evenwater.Core;
using Evenwater.Nights.Plant;
using Evenwater.Nights.Scoring;

namespace Evenwater.Nights.PlantTests;

public sealed class NightFolderTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("nights-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [InlineData("leaking-valve")]
    [InlineData("draw-offs")]
    [InlineData("no-tank-probe")]
    [InlineData("all-sensors")]
    [InlineData("standpipe")]
    public void A_night_written_and_read_again_is_the_same_night(string kind)
    {
        for (var seed = 1; seed <= 2; seed++)
        {
            var night = PlantKinds.Named(kind).Make(seed);
            NightFolder.Write(_folder, night, seed);
            var read = Night.Read(Path.Combine(_folder, night.Name + ".meta.json"));
            Assert.Equal((night.Name, night.Family), (read.Name, read.Family));
            Assert.Equal((night.MatchSeconds, night.BrimSeconds), (read.MatchSeconds, read.BrimSeconds));
            Assert.Equal(night.Prior.ValveCommands, read.Prior.ValveCommands);
            Assert.Equal(night.Prior.DrawOffs, read.Prior.DrawOffs);
            Assert.Equal(night.Prior with { ValveCommands = [], DrawOffs = [] }, read.Prior with { ValveCommands = [], DrawOffs = [] });
            Assert.Equal(night.Rows.Count, read.Rows.Count);
            foreach (var (made, again) in night.Rows.Zip(read.Rows))
            {
                Assert.Equal((made.Seconds, made.ValveOpen), (again.Seconds, again.ValveOpen));
                for (var channel = Channel.VesselConductivity; channel <= Channel.Level; channel++)
                {
                    Assert.Equal(made.Readings[channel].IsGood, again.Readings[channel].IsGood);
                    Assert.Equal(made.Readings[channel].TryGet(out var x) ? x : 0, again.Readings[channel].TryGet(out var y) ? y : 0, 1e-6);
                }
            }
        }
    }

    [Fact]
    public void The_command_writes_what_is_asked_and_refuses_what_it_does_not_know()
    {
        using var said = new StringWriter();
        using var wrong = new StringWriter();
        Assert.Equal(0, WriteNights.Run([_folder, "--kinds", "surge,marine", "--nights", "2", "--first", "7", "--matched"], said, wrong));
        Assert.Equal(
            ["marine-7", "marine-8", "surge-7", "surge-8"],
            Directory.GetFiles(_folder, "*.meta.json").Select(f => Path.GetFileName(f)[..^".meta.json".Length]).Order());
        Assert.Equal(12, Directory.GetFiles(_folder).Length);
        Assert.All(Night.ReadAll(_folder), n => Assert.Equal(0.003, n.Prior.GainRatioRelativeSd));
        foreach (var args in new string[][] { [], ["--kinds", "storm"], [_folder, "--nights", "0"], [_folder, "--nights"], [_folder, "more"], [_folder, "--fast"] })
        {
            Assert.Equal(2, WriteNights.Run(args, said, wrong));
        }

        Assert.Contains("'--kinds storm' is not understood", wrong.ToString(), StringComparison.Ordinal);
    }
}
