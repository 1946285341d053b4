using Evenwater.Core.Calibration;
using Evenwater.Core.Stations;
using Evenwater.Keeping;
using Evenwater.Log;
using Evenwater.Running;

namespace Evenwater.Calibrating;

/// <summary>Lays the book's calibrations over the stations of a running daemon: at its start, and when one is written or taken back, but never in the middle of a run.</summary>
internal sealed class CalibrationDesk(RunPlan plan, NightLog log, StationDirectory directory, ILogger<CalibrationDesk> logger)
{
    /// <summary>A station as its file has it with the calibrations that stand, and when they are due.</summary>
    /// <exception cref="LogUnusableException">The book can not be read.</exception>
    public (Station Station, IReadOnlyList<CalibrationDue> Due) InForce(Station file)
    {
        var standing = log.Needed($"the calibrations of {file.Name}", () => Calibrations.Standing(Books.Of(log.Reader, file.Name)));
        var station = CalibrationsInForce.Over(file, standing, out var leftOut);
        foreach (var why in leftOut)
        {
            logger.LogWarning("{Station}: {Why}", file.Name, why);
        }

        return (station, Calibrations.Due(standing));
    }

    /// <summary>A station as a run that begins now would have it, and in lines what its calibrations changed; null for one that is not served here.</summary>
    public (Station Station, IReadOnlyList<string> Told)? Tell(string name) =>
        plan.Stations.FirstOrDefault(s => s.Name == name) is { } file ? CalibratedStation.Of(file, Books.Of(log.Reader, name)) : null;

    /// <summary>Has a running station go on by what stands now.</summary>
    /// <returns>From when on.</returns>
    public string Apply(string name)
    {
        if (plan.Stations.FirstOrDefault(s => s.Name == name) is not { } file || directory.Find(name) is not { } loop)
        {
            return "It takes effect when the station starts.";
        }

        var (station, due) = InForce(file);
        loop.CalibrationsDue = due;
        loop.Recalibrate(station, log.Configure(station));
        return loop.Shown.Phase is Core.Safety.Phase.Idle or Core.Safety.Phase.Finished or Core.Safety.Phase.Abandoned
            ? "What stands is in force from now on."
            : "A run is on, which keeps what it began with: it takes effect when the run has ended.";
    }
}
