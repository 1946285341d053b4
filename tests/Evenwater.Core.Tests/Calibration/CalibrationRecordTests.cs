using Evenwater.Core.Calibration;

namespace Evenwater.CoreTests.Calibration;

/// <summary>What a record of a calibration must say.</summary>
public class CalibrationRecordTests
{
    private static readonly DateTimeOffset At = new(2026, 3, 1, 18, 0, 0, TimeSpan.Zero);
    private static readonly CalibratedValue After = new(1.013, 0.006, "1/cm");

    [Fact]
    public void It_keeps_what_was_said()
    {
        var record = Of().Found!;
        Assert.Equal(("sensors.vesselConductivity.cellConstantPerCm", At, "keeper", "1413 at 22.4 °C"), (record.Key, record.At, record.By, record.Note));
        Assert.Equal((new CalibratedValue(1, 0.1, "1/cm"), After, At.AddDays(90)), (record.Before!.Value, record.After, record.Due));
    }

    [Fact]
    public void It_is_due_on_its_date_and_not_before()
    {
        var record = Of().Found!;
        Assert.False(record.IsDue(At.AddDays(90).AddSeconds(-1)));
        Assert.True(record.IsDue(At.AddDays(90)));
    }

    [Fact]
    public void A_first_calibration_has_nothing_before()
        => Assert.Null(CalibrationRecord.Of("key", At, "keeper", "", null, After, At.AddDays(1)).Found!.Before);

    [Fact]
    public void What_says_too_little_or_nonsense_is_refused_by_key()
    {
        Assert.Equal("key", Refused(Of(key: " ")));
        Assert.Equal("key", Refused(Of(key: new string('k', 65))));
        Assert.Equal("by", Refused(Of(by: "")));
        Assert.Equal("note", Refused(Of(note: new string('n', 401))));
        Assert.Equal("after.value", Refused(Of(after: After with { Value = double.NaN })));
        Assert.Equal("after.sd", Refused(Of(after: After with { Sd = -0.1 })));
        Assert.Equal("after.sd", Refused(Of(after: After with { Sd = double.NaN })));
        Assert.Equal("before.unit", Refused(Of(after: After with { Unit = "S/m" })));
        Assert.Equal("due", Refused(Of(dueDays: 0)));
    }

    private static string Refused(Outcome<CalibrationRecord> outcome) => outcome.Refusal!.Value.Key;

    private static Outcome<CalibrationRecord> Of(
        string key = "sensors.vesselConductivity.cellConstantPerCm", string by = "keeper", string note = "1413 at 22.4 °C", CalibratedValue? after = null, double dueDays = 90)
        => CalibrationRecord.Of(key, At, by, note, new CalibratedValue(1, 0.1, "1/cm"), after ?? After, At.AddDays(dueDays));
}
