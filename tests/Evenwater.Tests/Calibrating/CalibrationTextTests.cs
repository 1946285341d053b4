using Evenwater.Calibrating;
using Evenwater.Core.Calibration;
using Evenwater.Core.Keeping;

namespace Evenwater.Tests.Calibrating;

/// <summary>What a calibration comes to is told as finely as it is known.</summary>
public sealed class CalibrationTextTests
{
    [Theory] // to the second figure of the standard deviation, whole numbers above that
    [InlineData("counts", 84000.0, 84292.476754, 191.64958, "  key: 84000 → 84292 counts, known to 192")]
    [InlineData("°C", 0.0, 0.094792, 0.027128, "  key: 0 → 0.095 °C, known to 0.027")]
    [InlineData("mL", null, 0.0512345, 0.001, "  key: nothing → 0.0512 mL, known to 0.001")]
    [InlineData("(a fraction)", 0.12, 0.0234567, 0.0, "  key: 0.12 → 0.023457 (a fraction)")]
    public void A_value_has_no_more_figures_than_are_known(string unit, double? before, double after, double sd, string expected) =>
        Assert.Equal([expected], CalibrationText.Changes([new CalibratedValue("key", unit, before, after, sd)]));

    [Fact]
    public void A_cell_that_was_matched_in_one_cup_has_that_in_its_own_history_and_a_scale_has_not()
    {
        var at = new DateTimeOffset(2026, 3, 14, 20, 0, 0, TimeSpan.Zero);
        Note Made(string id, string probe, string key) => new()
        {
            Id = id, Kind = NoteKind.Calibration, By = "Ann", At = at, WrittenAt = at,
            Calibration = new(probe, at, "Ann", "", [new(key, "1/cm", 1, 0.99, 0.01)], at.AddDays(30)),
        };
        var book = Book.Of([Made("n1", "both", "sensors.tankConductivity.cellConstantPerCm"), Made("n2", "tank-thermometer", "sensors.tankThermometerOffsetCelsius")]);
        string Told(string probe) => string.Join(' ', CalibrationText.History(book, CalibratedProbe.Named(probe), TimeZoneInfo.Utc).Select(line => line[..2]));
        Assert.Equal(["n1", "n1", "n1 n2", ""], new[] { "tank-conductivity", "vessel-conductivity", "tank-thermometer", "load-cell" }.Select(Told));
    }
}
