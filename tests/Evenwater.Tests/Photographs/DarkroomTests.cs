using System.Text;
using Evenwater.Core.Keeping;
using Evenwater.Photographs;

namespace Evenwater.Tests.Photographs;

/// <summary>Pictures are redrawn one at a time by a process that is bound, and kept within a budget.</summary>
public sealed class DarkroomTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("evenwater-photographs").FullName;

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public async Task A_photograph_is_redrawn_by_a_process_of_its_own_and_kept_for_its_owner_alone()
    {
        using var darkroom = new Darkroom(Darkroom.OwnProgram);
        var folder = new PhotographFolder(_folder);
        using var camera = new MemoryStream(MadePicture.Camera(MadePicture.Jpeg(8000, 6000), orientation: 6));
        var (name, refusal) = await darkroom.KeepAsync(camera, folder, Stop);
        Assert.Null(refusal);
        Assert.True(PhotographNames.Is(name!));
        var file = Path.Combine(_folder, PhotographFolder.Name, $"{name}.jpg");
        Assert.DoesNotContain(MadePicture.Secret, Encoding.Latin1.GetString(await File.ReadAllBytesAsync(file, Stop)), StringComparison.Ordinal);
        Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(file));
        Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute, File.GetUnixFileMode(Path.GetDirectoryName(file)!));
        Assert.True(folder.Delete(name!));
        Assert.False(folder.Has(name!));
        using var bomb = new MemoryStream(MadePicture.PngSaying(60_000, 60_000));
        Assert.Contains("more pixels than are decoded", (await darkroom.KeepAsync(bomb, folder, Stop)).Refusal.ToString(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("<svg xmlns='http://www.w3.org/2000/svg'><script>1</script></svg>", "no JPEG, PNG or WebP by its first bytes")]
    [InlineData("<!DOCTYPE html><script>1</script>", "no JPEG, PNG or WebP by its first bytes")]
    [InlineData("GIF89a\u0001\u0000\u0001\u0000\u0000\u0000", "no JPEG, PNG or WebP by its first bytes")]
    [InlineData("PK\u0003\u0004aaaaaaaaaa", "no JPEG, PNG or WebP by its first bytes")]
    [InlineData("", "no JPEG, PNG or WebP by its first bytes")]
    [InlineData("\u0000\u0000\u0000\u0018ftypheic\u0000\u0000\u0000\u0000", "a HEIF or HEIC picture")]
    public async Task What_only_claims_to_be_a_picture_starts_no_process(string content, string says)
    {
        using var darkroom = new Darkroom("/there/is/no/such/program");
        using var file = new MemoryStream(Encoding.Latin1.GetBytes(content));
        Assert.Contains(says, (await darkroom.KeepAsync(file, new PhotographFolder(_folder), Stop)).Refusal.ToString(), StringComparison.Ordinal);
        using var large = new MemoryStream(new byte[Darkroom.MostBytes + 1]);
        Assert.Contains("12.0 MiB", (await darkroom.KeepAsync(large, new PhotographFolder(_folder), Stop)).Refusal.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_process_that_can_not_be_started_is_a_refusal_and_the_next_picture_has_its_turn()
    {
        using var darkroom = new Darkroom("/there/is/no/such/program");
        for (var turn = 0; turn < 2; turn++)
        {
            using var file = new MemoryStream(MadePicture.Jpeg(64, 48));
            var (name, refusal) = await darkroom.KeepAsync(file, new PhotographFolder(_folder), Stop);
            Assert.Null(name);
            Assert.Matches("not looked at \\(.*No such file or directory\\)", refusal!.ToString()!);
        }
    }

    [Fact]
    public async Task A_process_that_takes_too_long_is_ended_and_one_that_hands_back_something_else_is_not_believed()
    {
        Assert.Equal("took too long to decode", (await DevelopAsync($"echo $$ > {_folder}/pid; exec sleep 60")).Value);
        var pid = int.Parse(await File.ReadAllTextAsync(Path.Combine(_folder, "pid"), Stop));
        Assert.False(File.Exists($"/proc/{pid}/stat") && !(await File.ReadAllTextAsync($"/proc/{pid}/stat", Stop)).Contains(") Z ", StringComparison.Ordinal), "it still runs");
        Assert.StartsWith("took more memory", (await DevelopAsync("exec head -c 3000000 /dev/zero")).Value, StringComparison.Ordinal);
        var large = MadePicture.Grainy(2400, 1800);
        Assert.True(PlainJpeg.Is(large) && large.Length > 2_600_000, $"{large.Length} bytes");
        await File.WriteAllBytesAsync(Path.Combine(_folder, "large.jpg"), large, Stop);
        Assert.StartsWith("took more memory", (await DevelopAsync($"exec cat {_folder}/large.jpg")).Value, StringComparison.Ordinal);
        await File.WriteAllBytesAsync(Path.Combine(_folder, "camera.jpg"), MadePicture.Camera(MadePicture.Jpeg(64, 48), 1), Stop);
        Assert.StartsWith("took more memory", (await DevelopAsync($"exec cat {_folder}/camera.jpg")).Value, StringComparison.Ordinal);
        Assert.StartsWith("took more memory", (await DevelopAsync("kill -ABRT $$")).Value, StringComparison.Ordinal);
    }

    [Fact]
    public async Task One_is_redrawn_at_a_time()
    {
        using var darkroom = new Darkroom(Script($"cat > /dev/null; mkdir {_folder}/busy || exit 30; sleep 0.2; rmdir {_folder}/busy; exit 32"));
        var both = await Task.WhenAll(darkroom.DevelopAsync(Picture(), Stop), darkroom.DevelopAsync(Picture(), Stop));
        Assert.All(both, one => Assert.StartsWith("damaged", one.Refusal!.Value.Value, StringComparison.Ordinal));
    }

    /// <summary>The limits of memory, files and rank, seen from inside a process that has taken them.</summary>
    [Fact]
    public async Task A_bound_process_gets_no_more_memory_writes_no_file_and_goes_last()
    {
        using var child = ChildProcess.Bound(Path.Combine(_folder, "written"));
        var told = await child.StandardOutput.ReadToEndAsync(Stop);
        Assert.Equal("before: 300 MB granted; taken: True; after: 300 MB refused; rank 19; when memory is short 1000", told.Trim());
    }

    [Fact]
    public void The_budget_is_kept_and_the_same_photograph_is_kept_once()
    {
        var (one, other) = (MadePicture.Jpeg(64, 48), MadePicture.Jpeg(48, 64));
        var folder = new PhotographFolder(_folder) { Budget = one.Length + 10 };
        var (name, refusal) = folder.Keep(one);
        Assert.Null(refusal);
        Assert.Equal(name, folder.Keep(one).Name);
        Assert.Contains("photographs are kept already", folder.Keep(other).Refusal.ToString(), StringComparison.Ordinal);
        File.WriteAllBytes(Path.Combine(_folder, "outside.jpg"), one);
        Assert.False(folder.Has("../outside"));
        Assert.Null(folder.Open("../outside"));
        Assert.Null(folder.Open(new string('0', 64)));
    }

    [Fact]
    public void A_hundred_megabytes_stay_free_for_the_log()
    {
        var picture = MadePicture.Jpeg(64, 48);
        var enough = 100_000_000L + picture.Length;
        var (name, refusal) = new PhotographFolder(_folder) { Free = _ => enough - 1 }.Keep(picture);
        Assert.Null(name);
        Assert.Contains("100 MB free for the log", refusal.ToString(), StringComparison.Ordinal);
        Assert.Empty(new PhotographFolder(_folder).Names());
        Assert.NotNull(new PhotographFolder(_folder) { Free = _ => enough }.Keep(picture).Name);
    }

    private async Task<Evenwater.Core.Stations.Problem> DevelopAsync(string script)
    {
        using var darkroom = new Darkroom(Script(script)) { MostTime = TimeSpan.FromSeconds(2) };
        return (await darkroom.DevelopAsync(Picture(), Stop)).Refusal!.Value;
    }

    private static MemoryStream Picture() => new(MadePicture.Jpeg(64, 48));

    private string Script(string lines)
    {
        var path = Path.Combine(_folder, "program");
        File.WriteAllText(path, $"#!/bin/sh\nPATH=/usr/bin:/bin\n{lines}\n");
        File.SetUnixFileMode(path, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
        return path;
    }
}
