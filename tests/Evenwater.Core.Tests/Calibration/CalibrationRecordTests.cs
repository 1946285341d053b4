using Evenwater.Core.Calibration;

namespace Evenwater.CoreTests.Calibration;

/// <summary>What a record of a calibration must say.</summary>
public class CalibrationRecordTests
{
    private const string Key = "sensors.vesselConductivity.cellConstantPerCm";
    private static readonly DateTimeOffset At = new(2026, 3, 1, 18, 0, 0, TimeSpan.Zero);
    private static readonly CalibratedValue Value = new(Key, "1/cm", 1, 1.013, 0.006);
    private static readonly CalibrationRecord Record = new("vessel-conductivity", At, "keeper", "1413 at 22.4 °C", [Value], At.AddDays(90));

    [Fact]
    public void A_whole_record_is_taken_as_it_is() => Assert.Same(Record, Record.Checked().Found);

    [Fact]
    public void A_look_at_the_drift_sets_nothing_and_is_a_record_all_the_same()
    {
        var check = new DriftCheck { ProbeBefore = 401, ProbeAfter = 410, MeterBefore = 412, MeterAfter = 412, Standard = 1413, ProbeInStandard = 1400 };
        Assert.True((Record with { Values = [], Drift = new(DriftKind.SpecificConductance, check) }).Checked().IsFound);
        Assert.Equal("probeBefore", Refused(Record with { Values = [], Drift = new(DriftKind.SpecificConductance, check with { ProbeBefore = 0 }) }));
    }

    [Fact]
    public void What_says_too_little_or_nonsense_is_refused_by_key()
    {
        Assert.Equal("probe", Refused(Record with { Probe = " " }));
        Assert.Equal("probe", Refused(Record with { Probe = new string('k', 65) }));
        Assert.Equal("by", Refused(Record with { By = "" }));
        Assert.Equal("note", Refused(Record with { Note = new string('n', 401) }));
        Assert.Equal("values", Refused(Record with { Values = [] }));
        Assert.Equal("key", Refused(Record with { Values = [Value with { Key = "" }] }));
        Assert.Equal($"{Key}.after", Refused(Record with { Values = [Value with { After = double.NaN }] }));
        Assert.Equal($"{Key}.sd", Refused(Record with { Values = [Value with { Sd = -0.1 }] }));
        Assert.Equal($"{Key}.sd", Refused(Record with { Values = [Value with { Sd = double.NaN }] }));
        Assert.Equal("due", Refused(Record with { Due = At }));
    }

    private static string Refused(CalibrationRecord record) => record.Checked().Refusal!.Value.Key;
}
