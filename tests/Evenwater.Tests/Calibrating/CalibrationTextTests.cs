using Evenwater.Calibrating;
using Evenwater.Core.Calibration;
using Evenwater.Core.Keeping;
using Evenwater.Options;
using Evenwater.Tests.Documents;

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

    /// <summary>A probe that was only looked at was told as calibrated that day.</summary>
    [Fact]
    public void A_check_is_told_as_a_check()
    {
        var at = new DateTimeOffset(2026, 3, 14, 20, 0, 0, TimeSpan.Zero);
        var check = new CalibrationRecord("tank-conductivity", at, "Ann", "", [], at.AddDays(90));
        string Told(CalibrationRecord record, int days) => CalibrationText.Standing("pail", CalibratedProbe.TankConductivity, Calibrations.Due([record]), at.AddDays(days)).Text;
        Assert.Equal("checked on 2026-03-14, due again on 2026-06-12", Told(check, 1));
        Assert.StartsWith("checked on 2026-03-14, OVERDUE since 2026-06-12", Told(check, 91), StringComparison.Ordinal);
        Assert.Equal("of 2026-03-14, due again on 2026-06-12", Told(check with { Values = [new("sensors.tankConductivity.cellConstantPerCm", "1/cm", 1, 0.99, 0.01)] }, 1));
    }

    /// <summary>Two probes had been matched in one cup to a vessel's constant that another keeper was just replacing: both were then said to agree within 0.3 %, and did not.</summary>
    [Theory]
    [InlineData("sensors.tankConductivity.cellConstantPerCm", "sensors.vesselConductivity.cellConstantPerCm", true)]
    [InlineData("sensors.tankConductivity.cellConstantPerCm", "sensors.vesselThermometerOffsetCelsius", true)]
    [InlineData("sensors.tankConductivity.cellConstantPerCm", "sensors.level.zeroVolts", false)]
    [InlineData("sensors.loadCell.zeroCounts", "sensors.loadCell.countsPerKilogram", true)]
    [InlineData("sensors.loadCell.zeroCounts", "sensors.vesselThermometerOffsetCelsius", false)]
    [InlineData("drip.dropMillilitres", "drip.dropRelativeSd", true)]
    [InlineData(null, "sensors.vesselConductivity.cellConstantPerCm", true)] // a check reads by the constant that it finds
    [InlineData("sensors.level.zeroVolts", null, false)]
    public void What_rests_on_a_calibration_that_was_changed_meanwhile_is_not_written(string? found, string? changed, bool told)
    {
        var begun = StationFile.Read(Path.Combine(Repository.Root, "config", "stations", "sim-lagoon.json")).Station!;
        var now = changed is null ? begun : CalibratedKeys.Named(changed)!.With(begun, CalibratedKeys.Named(changed)!.Get(begun)!.Value + 1);
        var text = Calibrations.Meanwhile(begun, now, new Found(found is null ? [] : [new(found, "", 1, 2, 0)], ""));
        Assert.Equal(told, text is not null);
        Assert.StartsWith(told ? $"{changed} " : "", text ?? "", StringComparison.Ordinal);
    }
}
