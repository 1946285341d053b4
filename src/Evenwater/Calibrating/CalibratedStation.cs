using Evenwater.Core.Calibration;
using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;

namespace Evenwater.Calibrating;

/// <summary>A station as it runs: its file, and over it what the calibrations of its book have come to. Whoever plans by the file alone plans another station.</summary>
internal static class CalibratedStation
{
    /// <summary>The station, and in lines what its calibrations changed or why they are left out.</summary>
    /// <param name="file">As the station file has it.</param>
    /// <param name="book">Its book; null when there is none to be read.</param>
    public static (Station Station, IReadOnlyList<string> Told) Of(Station file, Book? book)
    {
        var station = CalibrationsInForce.Over(file, Calibrations.Standing(book), out var leftOut);
        var changes = CalibrationText.Between(file, station).ToList();
        return (station, changes.Count == 0 ? leftOut : [$"As calibrated since the station file was written: {string.Join(", ", changes)}.", .. leftOut]);
    }
}
