using System.CommandLine;
using Evenwater.Core;
using Evenwater.Core.Planning;
using Evenwater.Core.Stations;
using Evenwater.Core.Telling;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Options;
using Evenwater.Running;
using Microsoft.Data.Sqlite;

namespace Evenwater.Commands;

/// <summary>evenwater check: configuration, state folder, store, clock, stations and probes, each with what to do about it.</summary>
internal static class CheckCommand
{
    public static Command Create()
    {
        var config = new Option<string?>("--config") { Description = "the configuration file" };
        var proof = new Option<bool>("--proof") { Description = "the proof test: floats, leak sensor and valve tried by hand, step by step; the program watches, and the log keeps what came of it" };
        var by = new Option<string?>("--by") { Description = "with --proof: who does it; the user's name if not said", HelpName = "NAME" };
        var station = new Option<string?>("--station") { Description = "with --proof: which station, when there are several" };
        var command = new Command("check", "Check configuration, permissions, disk, clock, store, and every probe's answer.") { config, proof, station, by };
        command.SetAction(async (parse, stop) => parse.GetValue(proof)
            ? await ProofGuide.OnTerminalAsync(parse.GetValue(station), parse.GetValue(by) ?? WhoAsks.Name, stop)
            : parse.GetValue(station) is not null || parse.GetValue(by) is not null ? Exit.Wrong("--station, --by: are of the proof test. Say --proof as well, or leave them out: without it everything is checked.")
            : await RunAsync(parse.GetValue(config)));
        return command;
    }

    private static async Task<int> RunAsync(string? given)
    {
        var findings = new CheckList();
        var path = Places.Configuration(given);
        IReadOnlyList<Station> stations = [];
        FollowerPlan? plan = null;
        if (path is null)
        {
            findings.Note("configuration", "none: serve would run the simulated demo");
            stations = [DemoStation.Read()];
        }
        else
        {
            var reading = MainFile.Read(path, serving: false);
            if (reading.Configuration is null || reading.Problems.Count > 0)
            {
                return Exit.Wrong(path, reading.Problems);
            }

            findings.Good("configuration", path);
            stations = reading.Stations;
            plan = MainFile.Followers(reading.Configuration);
            await findings.SecretsAsync(reading.Configuration);
            await findings.UnitAsync(reading.Configuration, stations.Any(s => s.Sensors.Source == SensorSource.Board));
        }

        foreach (var station in stations)
        {
            var refusals = Unattended.Refusals(station);
            findings.Judge(refusals.Count == 0, $"{station.Name}, left alone", refusals.Count == 0
                ? $"what could siphon ({Unattended.SiphonLitres(station.Source)?.ToString(LitresForm.Of(station.Vessel.BrimLitres))} L) fits"
                : string.Join(" ", refusals.Select(r => $"{r.Key}: {r.Allowed}. {r.Advice}")));
        }

        foreach (var (what, text) in stations.SelectMany(station => FrontEndReach.TooShort(station).Select(found => ($"{station.Name}, {found.Key}", found.Text))))
        {
            findings.Judge(false, what, text);
        }

        try
        {
            CheckState(findings, demo: path is null);
            await LogCheck.TellAsync(findings, Places.State(demo: path is null), plan, [.. stations.Select(s => s.Name)]);
            await StationCheck.TellAsync(findings, stations, demo: path is null);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            findings.Judge(false, "state folder", e.Message);
        }

        return findings.Tell();
    }

    /// <summary>How the disk stands, by the alarm's own limit and in the unit that the log's line tells.</summary>
    internal static (bool Good, string Text) Disk(long freeBytes) => (DiskRooms.Of(freeBytes, DiskRoom.Plenty) == DiskRoom.Plenty, $"{freeBytes / 1e6:0} MB free, at least {DiskRooms.ShortMegabytes:0} wanted");

    private static void CheckState(CheckList findings, bool demo)
    {
        var state = Places.MakeState(demo);
        var mode = File.GetUnixFileMode(state);
        findings.Judge((mode & (UnixFileMode.OtherRead | UnixFileMode.OtherWrite | UnixFileMode.GroupWrite)) == 0, "state folder",
            $"{state}, for {((mode & (UnixFileMode.OtherRead | UnixFileMode.OtherWrite | UnixFileMode.GroupWrite)) == 0 ? "its owner alone" : "others too: chmod 700 it")}");
        var disk = Disk(new DriveInfo(state).AvailableFreeSpace);
        findings.Judge(disk.Good, "disk", disk.Text);
        using var connection = new SqliteConnection();
        var version = connection.ServerVersion;
        findings.Judge(Version.Parse(version) >= new Version(3, 51, 3), "store", $"SQLite {version}, at least 3.51.3 wanted");
        var clock = StationClock.Real(default, TimeProvider.System);
        findings.Judge(clock.Quality != ClockQuality.Unsynced, "clock", clock.Quality switch
        {
            ClockQuality.Unsynced => "never set since this computer started: set it, or wait for a time server; control needs no clock, labels do",
            ClockQuality.Restored => "plausible, but no time server has set it since this computer started (timedatectl tells why); control needs no clock, labels do",
            _ => "set by a time server",
        });
    }
}
