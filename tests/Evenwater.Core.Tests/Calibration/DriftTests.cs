using Evenwater.Core.Calibration;

namespace Evenwater.CoreTests.Calibration;

/// <summary>Fouling, drift, grades and the corrected series of USGS TM1-D3 (Wagner and others 2006): the table of ratings as a program that cites it has it, the rest by hand.</summary>
public class DriftTests
{
    private static readonly DateTimeOffset From = new(2026, 3, 1, 0, 0, 0, TimeSpan.Zero);
    private static readonly DateTimeOffset To = new(2026, 3, 31, 0, 0, 0, TimeSpan.Zero);

    // Cleaning raised the probe by 20 while the water itself rose by 2: fouling 18, 3.75 % of 480. In 1000 it reads 985: drift 15, 1.5228 %.
    private static readonly DriftCheck Dirty = new() { ProbeBefore = 480, ProbeAfter = 500, MeterBefore = 490, MeterAfter = 492, Standard = 1000, ProbeInStandard = 985 };

    [Fact]
    public void Fouling_is_what_cleaning_changed_less_what_the_water_did_and_drift_is_the_standard_less_the_reading()
    {
        Assert.Equal((18.0, 15.0), (Dirty.Fouling, Dirty.Drift));
        Assert.Equal(3.75, Dirty.FoulingPercent, 12);
        Assert.Equal(1500.0 / 985, Dirty.DriftPercent, 12);
        Assert.Equal(3.75 + (1500.0 / 985), Dirty.Combined(DriftKind.SpecificConductance), 12);
    }

    [Fact] // 0.3 low by dirt, 0.4 high by drift: 0.7, fair; their sum with signs would be 0.1, excellent
    public void Errors_that_oppose_each_other_do_not_cancel()
    {
        var check = new DriftCheck { ProbeBefore = 7, ProbeAfter = 7.3, MeterBefore = 7.2, MeterAfter = 7.2, Standard = 7, ProbeInStandard = 7.4 };
        Assert.Equal(0.7, check.Combined(DriftKind.Ph), 12);
        Assert.Equal(DriftGrade.Fair, DriftRating.Of(DriftKind.Ph, check.Combined(DriftKind.Ph)));
    }

    [Fact] // cleaning lowered it by 18 of 480, and it reads 1015 in 1000: 3.75 % and 1500 / 1015
    public void What_reads_too_high_counts_as_what_reads_too_low()
    {
        var high = Dirty with { ProbeAfter = 464, ProbeInStandard = 1015 };
        Assert.Equal((-18.0, -15.0), (high.Fouling, high.Drift));
        Assert.Equal(3.75 + (1500.0 / 1015), high.Combined(DriftKind.SpecificConductance), 12);
        Assert.Equal(33, high.Combined(DriftKind.Temperature), 12);
    }

    [Fact]
    public void A_conductivity_of_nothing_is_no_reading_and_a_temperature_of_nothing_is_one()
    {
        var frozen = Dirty with { MeterBefore = 0 };
        Assert.Equal(("meterBefore", "above 0 µS/cm"), (frozen.Wrong(DriftKind.SpecificConductance)!.Value.Key, frozen.Wrong(DriftKind.SpecificConductance)!.Value.Allowed));
        Assert.Null(frozen.Wrong(DriftKind.Temperature));
        Assert.Null((Dirty with { MeterBefore = 0.5 }).Wrong(DriftKind.SpecificConductance));
        Assert.Equal(("standard", "a number"), ((Dirty with { Standard = double.NaN }).Wrong(DriftKind.Ph)!.Value.Key, (Dirty with { Standard = double.NaN }).Wrong(DriftKind.Ph)!.Value.Allowed));
    }

    [Theory] // TM1-D3, ratings and maximum allowable limits: on a limit the better grade
    [InlineData(DriftKind.Temperature, 0.2, DriftGrade.Excellent)]
    [InlineData(DriftKind.Temperature, 0.21, DriftGrade.Good)]
    [InlineData(DriftKind.Temperature, 0.5, DriftGrade.Good)]
    [InlineData(DriftKind.Temperature, 0.51, DriftGrade.Fair)]
    [InlineData(DriftKind.Temperature, 0.8, DriftGrade.Fair)]
    [InlineData(DriftKind.Temperature, 0.81, DriftGrade.Poor)]
    [InlineData(DriftKind.Temperature, 2, DriftGrade.Poor)]
    [InlineData(DriftKind.Temperature, 2.01, DriftGrade.BeyondCorrection)]
    [InlineData(DriftKind.SpecificConductance, 0, DriftGrade.Excellent)]
    [InlineData(DriftKind.SpecificConductance, 3, DriftGrade.Excellent)]
    [InlineData(DriftKind.SpecificConductance, 3.1, DriftGrade.Good)]
    [InlineData(DriftKind.SpecificConductance, 10, DriftGrade.Good)]
    [InlineData(DriftKind.SpecificConductance, 10.1, DriftGrade.Fair)]
    [InlineData(DriftKind.SpecificConductance, 15, DriftGrade.Fair)]
    [InlineData(DriftKind.SpecificConductance, 15.1, DriftGrade.Poor)]
    [InlineData(DriftKind.SpecificConductance, 30, DriftGrade.Poor)]
    [InlineData(DriftKind.SpecificConductance, 30.1, DriftGrade.BeyondCorrection)]
    [InlineData(DriftKind.Ph, 0.2, DriftGrade.Excellent)]
    [InlineData(DriftKind.Ph, 0.5, DriftGrade.Good)]
    [InlineData(DriftKind.Ph, 0.8, DriftGrade.Fair)]
    [InlineData(DriftKind.Ph, 2, DriftGrade.Poor)]
    [InlineData(DriftKind.Ph, 2.01, DriftGrade.BeyondCorrection)]
    public void Grades_are_those_of_the_table(DriftKind kind, double combined, DriftGrade grade) => Assert.Equal(grade, DriftRating.Of(kind, combined));

    [Fact] // 480 at the end: x 1.0375 = 498, x (1 + 15/985) = 505.584; half way 480 x 1.01875 = 489, x (1 + 7.5/985) = 492.723; the other way round the first stage would be 483.7
    public void Both_corrections_grow_in_a_straight_line_fouling_first()
    {
        var review = DriftReview.Of(DriftKind.SpecificConductance, Dirty, From, To, [(From, 480), (From.AddDays(15), 480), (To, 480)]).Found!;
        Assert.Equal(new ReviewedReading(From, 480, 480, 480), review.Readings[0]);
        Assert.Equal(480, review.Readings[1].Raw);
        Assert.Equal(489, review.Readings[1].WithoutFouling, 1e-9);
        Assert.Equal(489 * (1 + (7.5 / 985)), review.Readings[1].Corrected, 1e-9);
        Assert.Equal(498, review.Readings[2].WithoutFouling, 1e-9);
        Assert.Equal(505.584, review.Readings[2].Corrected, 0.001);
    }

    [Fact] // 0.3 °C low by dirt, 0.2 °C high by drift: at a third of the time 24 + 0.1 - 0.0667
    public void Temperature_is_corrected_by_the_error_itself()
    {
        var check = new DriftCheck { ProbeBefore = 24, ProbeAfter = 24.3, MeterBefore = 24.3, MeterAfter = 24.3, Standard = 20, ProbeInStandard = 20.2 };
        var reading = DriftReview.Of(DriftKind.Temperature, check, From, To, [(From.AddDays(10), 24)]).Found!.Readings[0];
        Assert.Equal(24.1, reading.WithoutFouling, 1e-9);
        Assert.Equal(24.1 - (0.2 / 3), reading.Corrected, 1e-9);
    }

    [Fact] // by hand: a check that cleaned the cell found it 4 % low and set nothing; at the next it is 6 % low, and clean: 500 is 520 at the first, 525 half way, 530 at the second
    public void After_a_check_that_set_nothing_the_drift_goes_on_from_what_it_found()
    {
        static DriftCheck Low(double percent) => new() { ProbeBefore = 500, ProbeAfter = 500, MeterBefore = 500, MeterAfter = 500, Standard = 1000 + (10 * percent), ProbeInStandard = 1000 };
        var review = DriftReview.Of(DriftKind.SpecificConductance, Low(6), From, To, [(From, 500), (From.AddDays(15), 500), (To, 500)], Low(4)).Found!;
        Assert.Equal([520, 525, 530], review.Readings.Select(r => Math.Round(r.Corrected, 9)));
        var warm = DriftReview.Of(DriftKind.Temperature, Low(0) with { Standard = 1000.3 }, From, To, [(From, 24), (To, 24)], Low(0) with { Standard = 1000.1 }).Found!;
        Assert.Equal([24.1, 24.3], warm.Readings.Select(r => Math.Round(r.Corrected, 9)));
    }

    [Fact]
    public void A_record_beyond_correction_is_refused()
    {
        var refusal = DriftReview.Of(DriftKind.SpecificConductance, Dirty with { ProbeAfter = 640 }, From, To, []).Refusal!.Value; // (160 - 2) / 480 = 32.9 %, and 1.5
        Assert.Equal(("combined", "0 to 30 %"), (refusal.Key, refusal.Allowed));
        Assert.StartsWith("Leave the record out", refusal.Advice, StringComparison.Ordinal);
    }

    [Fact]
    public void What_lies_outside_or_is_no_number_is_refused_by_key()
    {
        Assert.Equal("checkedAt", DriftReview.Of(DriftKind.Ph, Dirty, To, From, []).Refusal!.Value.Key);
        Assert.Equal("checkedAt", DriftReview.Of(DriftKind.Ph, Dirty, To, To, []).Refusal!.Value.Key);
        Assert.Equal("readings[1].at", DriftReview.Of(DriftKind.SpecificConductance, Dirty, From, To, [(From, 480), (To.AddSeconds(1), 480)]).Refusal!.Value.Key);
        Assert.Equal("readings[0].at", DriftReview.Of(DriftKind.SpecificConductance, Dirty, From, To, [(From.AddSeconds(-1), 480)]).Refusal!.Value.Key);
        Assert.Equal("probeBefore", DriftReview.Of(DriftKind.SpecificConductance, Dirty with { ProbeBefore = 0 }, From, To, []).Refusal!.Value.Key);
        Assert.Equal("probeInStandard", DriftReview.Of(DriftKind.Temperature, Dirty with { ProbeInStandard = double.NaN }, From, To, []).Refusal!.Value.Key);
    }
}
