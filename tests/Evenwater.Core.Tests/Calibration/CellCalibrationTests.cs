using Evenwater.Core.Calibration;
using Evenwater.Core.Water;

namespace Evenwater.CoreTests.Calibration;

/// <summary>Cell constants by standards: NIST's and IUPAC's conductivities of KCl (CRC Handbook, table 5-73, with the row for carbon dioxide), the rest by hand.</summary>
public class CellCalibrationTests
{
    [Theory] // 0.01 mol/kg: 1408.23 + 1.10 at 25 °C, 1273.03 + 0.99 at 20 °C, 1013.95 + 0.79 at 10 °C, over 1000 µS
    [InlineData(25, 1.40933)]
    [InlineData(20, 1.27402)]
    [InlineData(10, 1.01474)]
    public void The_constant_is_the_standard_at_its_own_temperature_over_the_conductance(double celsius, double perCm)
        => Assert.Equal(perCm, In(ConductivityStandard.HundredthMolal, 1000, celsius).CellConstantPerCm, 1e-9);

    [Fact] // by way of 25 °C with ISO 7888's 1.116 for natural water it would be 1409.33 / (1.116 x 1274.02 / 1.0) = 0.9912 of it: 0.9 % off
    public void The_temperature_coefficient_is_the_standards_own_not_natural_waters()
        => Assert.Equal(1, CellCalibration.ByOne(1, In(ConductivityStandard.HundredthMolal, 1274.02, 20)).Found!.PerCm, 1e-9);

    [Fact] // 1 % of the liquid, 0.3 % of the reading, 0.25 K at 1.96 % (table: (1546.63 - 1273.03) / 10 / 1408.23 = 1.943 % over 20 to 30 °C): sqrt(1 + 0.09 + 0.236) = 1.151 %
    public void Its_spread_has_the_liquids_the_readings_and_the_temperatures_part()
    {
        var found = CellCalibration.ByOne(1, In(ConductivityStandard.HundredthMolal, 1409.33, 25) with { StandardRelativeSd = 0.01, CelsiusSd = 0.25, ConductanceSdMicrosiemens = 4.228 }).Found!;
        Assert.Equal(0.01151, found.PerCmSd / found.PerCm, 0.00002);
        Assert.Equal(0, CellCalibration.ByOne(1, Exact(ConductivityStandard.HundredthMolal, 1409.33, 25)).Found!.PerCmSd, 12);
        Assert.Equal(0.003, CellCalibration.ByOne(1, Exact(ConductivityStandard.HundredthMolal, 1409.33, 25) with { ConductanceSdMicrosiemens = 4.228 }).Found!.PerCmSd, 0.000001);
    }

    [Theory] // at the very ends of the table the coefficient is taken to one side; 0 °C: (890.96 - 772.92) / 5 / 772.92 = 3.05 % over the first five degrees
    [InlineData(0, 0.0305)]
    [InlineData(35, 0.0167)]
    public void At_the_ends_of_the_table_the_temperature_still_has_its_part(double celsius, double perKelvin)
        => Assert.Equal(perKelvin, (Exact(ConductivityStandard.HundredthMolal, 1000, celsius) with { CelsiusSd = 1 }).RelativeSd, 0.001);

    [Fact] // ±1 % on the label is half of that as 1-sigma; 0.1 mol/kg is 12 825.7 µS/cm at 25 °C
    public void A_cell_of_ten_is_calibrated_like_one_of_one()
    {
        var found = CellCalibration.ByOne(10, In(ConductivityStandard.TenthMolal, 1282.57, 25)).Found!;
        Assert.Equal(10, found.PerCm, 1e-9);
        Assert.Equal(0, found.OffsetMicrosiemensPerCm);
    }

    [Fact] // the cup says 1413 and holds 12.88 mS/cm: a cell of 1 1/cm conducts 12 826 µS, and would have 0.11 1/cm
    public void A_wrong_liquid_is_refused_named()
    {
        var outcome = CellCalibration.ByOne(1, In(ConductivityStandard.Sold1413, 12_826, 25));
        Assert.False(outcome.IsFound);
        var refusal = outcome.Refusal!.Value;
        Assert.Equal(("standard.cellConstantPerCm", "0.110167", "0.7 to 1.3 1/cm"), (refusal.Key, refusal.Value, refusal.Allowed));
        Assert.StartsWith("It reads like KCl 0.1 mol/kg: see which liquid is in the cup.", refusal.Advice, StringComparison.Ordinal);
        Assert.Equal(1.1, CellCalibration.ByOne(1, In(ConductivityStandard.HundredthMolal, 1409.33 / 1.1, 25)).Found!.PerCm, 1e-9);
        Assert.False(default(Outcome<CellConstant>).IsFound);
    }

    [Theory]
    [InlineData(0.701, true)]
    [InlineData(0.699, false)]
    [InlineData(1.299, true)]
    [InlineData(1.301, false)]
    public void A_constant_thirty_per_cent_off_its_nominal_one_is_the_last_that_is_taken(double perCm, bool taken)
        => Assert.Equal(taken, CellCalibration.ByOne(1, In(ConductivityStandard.HundredthMolal, 1409.33 / perCm, 25)).IsFound);

    [Theory]
    [InlineData(2, 1000, 25, 1, "nominalPerCm")]
    [InlineData(1, 1000, 36, 1, "standard.celsius")]
    [InlineData(1, 1000, double.NaN, 1, "standard.celsius")]
    [InlineData(1, 0, 25, 1, "standard.conductanceMicrosiemens")]
    [InlineData(1, double.PositiveInfinity, 25, 1, "standard.conductanceMicrosiemens")]
    [InlineData(1, double.NaN, 25, 1, "standard.conductanceMicrosiemens")]
    [InlineData(1, 1400, 25, 140, "standard.relativeSd")]
    [InlineData(1, 1400, 25, 14_000, "standard.relativeSd")]
    public void What_is_no_calibration_is_refused_by_key(double nominal, double microsiemens, double celsius, double sd, string key)
        => Assert.Equal(key, CellCalibration.ByOne(nominal, In(ConductivityStandard.HundredthMolal, microsiemens, celsius) with { ConductanceSdMicrosiemens = sd }).Refusal!.Value.Key);

    [Fact] // a front end with 5 µS/cm of its own: (1409.33 - 5) and (12 825.7 - 5) µS through a cell of 1; slope 11416.37 / 11416.37, offset 5
    public void Two_standards_tell_slope_and_offset()
    {
        var found = CellCalibration.ByTwo(1, Exact(ConductivityStandard.TenthMolal, 12_820.7, 25), Exact(ConductivityStandard.HundredthMolal, 1404.33, 25)).Found!;
        Assert.Equal(1, found.PerCm, 1e-9);
        Assert.Equal(5, found.OffsetMicrosiemensPerCm, 1e-6);
    }

    [Fact] // offset 50 with 1 % of each: sd of the constant sqrt(14.0933² + 128.257²) / 11416.37 = 0.011302; of the offset sqrt((14.0933 x 12775.7)² + (128.257 x 1359.33)²) / 11416.37 = 21.953
    public void Slope_and_offset_have_their_spreads()
    {
        var (low, high) = (Exact(ConductivityStandard.HundredthMolal, 1359.33, 25) with { StandardRelativeSd = 0.01 }, Exact(ConductivityStandard.TenthMolal, 12_775.7, 25) with { StandardRelativeSd = 0.01 });
        var found = CellCalibration.ByTwo(1, low, high).Found!;
        Assert.Equal(50, found.OffsetMicrosiemensPerCm, 1e-6);
        Assert.Equal(0.011302, found.PerCmSd, 0.000002);
        Assert.Equal(21.953, found.OffsetSdMicrosiemensPerCm, 0.002);
    }

    [Fact] // the same with an offset of 20: less than twice its sd of 22; K's of 1409.33 / 1389.33 = 1.014395 and 12825.7 / 12805.7 = 1.001562, each to 1 %, weights 1 / K²: mean 1.007897
    public void An_offset_within_its_own_spread_is_left_out()
    {
        var (low, high) = (Exact(ConductivityStandard.HundredthMolal, 1389.33, 25) with { StandardRelativeSd = 0.01 }, Exact(ConductivityStandard.TenthMolal, 12_805.7, 25) with { StandardRelativeSd = 0.01 });
        var found = CellCalibration.ByTwo(1, low, high).Found!;
        Assert.Equal((0.0, 0.0), (found.OffsetMicrosiemensPerCm, found.OffsetSdMicrosiemensPerCm));
        Assert.Equal(1.007897, found.PerCm, 0.000002);
        Assert.Equal(0.007127, found.PerCmSd, 0.000002); // 1.008 % / sqrt 2
    }

    [Theory] // no offset, 1 % of each liquid: 1 % / sqrt 2 = 0.7071 %, whatever the cell
    [InlineData(0.1)]
    [InlineData(10)]
    public void Any_cell_is_calibrated_by_two_standards_like_one_of_one(double perCm)
    {
        StandardReading In(ConductivityStandard standard, double microsiemens) => Exact(standard, microsiemens / perCm, 25) with { StandardRelativeSd = 0.01 };
        var found = CellCalibration.ByTwo(perCm, In(ConductivityStandard.HundredthMolal, 1409.33), In(ConductivityStandard.TenthMolal, 12_825.7)).Found!;
        Assert.Equal(perCm, found.PerCm, 1e-9 * perCm);
        Assert.Equal(0.007071, found.PerCmSd / perCm, 0.000001);
    }

    [Fact] // K's of 1.01 to 2 % and 1 to 0.5 %: weights 1 / 0.0202² = 2450.7 and 1 / 0.005² = 40 000; mean 1.000577, sd 1 / sqrt(42 450.7) = 0.0048535
    public void The_better_known_standard_weighs_more()
    {
        var (low, high) = (Exact(ConductivityStandard.HundredthMolal, 1409.33 / 1.01, 25) with { StandardRelativeSd = 0.02 }, Exact(ConductivityStandard.TenthMolal, 12_825.7, 25) with { StandardRelativeSd = 0.005 });
        var found = CellCalibration.ByTwo(1, low, high).Found!;
        Assert.Equal(1.000577, found.PerCm, 0.000001);
        Assert.Equal(0.0048535, found.PerCmSd, 0.0000002);
    }

    [Fact] // by hand: 0.5 % of each liquid, over sqrt 2 0.354 %; 0.25 K at 1.96 % a kelvin of 0.01 mol/kg and 1.91 of 0.1 move both constants alike, 0.478 % at least: together 0.60 %, not 0.49
    public void What_one_thermometer_errs_in_both_cups_does_not_average_out()
    {
        static StandardReading Usual(ConductivityStandard standard, double microsiemens) => Exact(standard, microsiemens, 25) with { StandardRelativeSd = 0.005, CelsiusSd = 0.25 };
        var found = CellCalibration.ByTwo(1, Usual(ConductivityStandard.HundredthMolal, 1409.33), Usual(ConductivityStandard.TenthMolal, 12_825.7)).Found!;
        Assert.Equal(0, found.OffsetMicrosiemensPerCm);
        Assert.Equal(0.0060, found.PerCmSd, 0.0001);
    }

    [Fact] // 11 % apart
    public void Two_standards_that_disagree_are_refused()
    {
        var refusal = CellCalibration.ByTwo(1, In(ConductivityStandard.HundredthMolal, 1409.33, 25), In(ConductivityStandard.TenthMolal, 12_825.7 / 1.11, 25)).Refusal!.Value;
        Assert.Equal(("standards", "cell constants 1.000 and 1.110 1/cm", "within 10 % of each other"), (refusal.Key, refusal.Value, refusal.Allowed));
        Assert.True(CellCalibration.ByTwo(1, In(ConductivityStandard.HundredthMolal, 1409.33, 25), In(ConductivityStandard.TenthMolal, 12_825.7 / 1.1, 25)).IsFound);
        Assert.False(CellCalibration.ByTwo(1, In(ConductivityStandard.HundredthMolal, 1409.33 / 1.11, 25), In(ConductivityStandard.TenthMolal, 12_825.7, 25)).IsFound); // the other way round
    }

    [Fact] // sea water of 53.07 mS/cm and KCl of 108.62, twice apart, in cells of 1.17 and 1.28 1/cm: each within 30 % of 1, and 9 % from each other; but the line has (108.62 - 53.07) / (108.62 / 1.28 - 53.07 / 1.17) = 1.406 1/cm
    public void The_line_of_two_standards_is_held_against_the_nominal_constant_as_well()
    {
        static Outcome<CellConstant> Line(double sea, double chloride) => CellCalibration.ByTwo(1, Of(ConductivityStandard.SeaWater35, 53_070 / sea), Of(ConductivityStandard.OneMolal, 108_620 / chloride));
        static StandardReading Of(ConductivityStandard standard, double microsiemens) => Exact(standard, microsiemens, 25) with { StandardRelativeSd = 0.005 };
        var refusal = Line(1.17, 1.28).Refusal!.Value;
        Assert.Equal(("standards", "0.7 to 1.3 1/cm"), (refusal.Key, refusal.Allowed));
        Assert.StartsWith("a line of 1.40", refusal.Value, StringComparison.Ordinal);
        Assert.True(Line(1, 1.09).IsFound); // (108.62 - 53.07) / (108.62 / 1.09 - 53.07) = 1.192
    }

    [Fact]
    public void Two_standards_that_are_alike_tell_no_offset()
        => Assert.Equal("one at least 2 times the other", CellCalibration.ByTwo(1, In(ConductivityStandard.HundredthMolal, 1409, 25), In(ConductivityStandard.Sold1413, 1413, 25)).Refusal!.Value.Allowed);

    [Fact] // 0.5 % of each liquid, 0.25 K at 1.96 % of the weak one alone, whose own thermometer erred: nothing is common, so 0.70 % and 0.5 %; weights 1 / 0.007² and 1 / 0.005²: 1 / sqrt(20 408 + 40 000) = 0.407 %
    public void What_two_thermometers_err_by_themselves_averages_out()
    {
        static StandardReading Usual(ConductivityStandard standard, double microsiemens, double celsiusSd) => Exact(standard, microsiemens, 25) with { StandardRelativeSd = 0.005, CelsiusSd = celsiusSd };
        Assert.Equal(0.00407, CellCalibration.ByTwo(1, Usual(ConductivityStandard.HundredthMolal, 1409.33, 0.25), Usual(ConductivityStandard.TenthMolal, 12_825.7, 0)).Found!.PerCmSd, 0.00002);
        Assert.Equal(0.00407, CellCalibration.ByTwo(1, Usual(ConductivityStandard.HundredthMolal, 1409.33, 0), Usual(ConductivityStandard.TenthMolal, 12_825.7, 0.25)).Found!.PerCmSd, 0.00005);
    }

    [Theory] // an air bubble: 300 µS, a fifth of what 1413 would conduct, is like nothing in the tables; 12 826 µS are 0.1 mol/kg in a cup that says 1413
    [InlineData(300, "See which liquid is in the cup, and that no air is in the cell. ")]
    [InlineData(12_826, "It reads like KCl 0.1 mol/kg: see which liquid is in the cup. ")]
    public void A_wrong_reading_is_told_by_what_it_is_like(double microsiemens, string begins)
        => Assert.StartsWith(begins, CellCalibration.ByOne(1, In(ConductivityStandard.Sold1413, microsiemens, 25)).Refusal!.Value.Advice, StringComparison.Ordinal);

    [Theory] // half way as a ratio: 0.316 and 3.16
    [InlineData(0.09, 0.1)]
    [InlineData(0.31, 0.1)]
    [InlineData(0.32, 1)]
    [InlineData(1.2, 1)]
    [InlineData(3.1, 1)]
    [InlineData(3.2, 10)]
    [InlineData(12, 10)]
    public void A_cell_that_was_calibrated_is_known_by_the_constant_it_was_sold_with(double perCm, double nominal) => Assert.Equal(nominal, CellCalibration.Nominal(perCm));

    [Fact]
    public void Of_two_standards_the_wrong_one_is_named()
    {
        var (right, wrong) = (In(ConductivityStandard.HundredthMolal, 1409.33, 25), In(ConductivityStandard.TenthMolal, 1409.33, 25));
        Assert.Equal("standards.other.cellConstantPerCm", CellCalibration.ByTwo(1, right, wrong).Refusal!.Value.Key);
        Assert.Equal("standards.one.cellConstantPerCm", CellCalibration.ByTwo(1, wrong, right).Refusal!.Value.Key);
    }

    [Fact]
    public void A_spread_below_nothing_is_a_bug()
        => Assert.Throws<ArgumentOutOfRangeException>(() => CellCalibration.ByOne(1, In(ConductivityStandard.HundredthMolal, 1409, 25) with { CelsiusSd = -1 }));

    private static StandardReading In(ConductivityStandard standard, double microsiemens, double celsius)
        => new() { Standard = standard, Celsius = celsius, ConductanceMicrosiemens = microsiemens, ConductanceSdMicrosiemens = microsiemens * 0.001 };

    private static StandardReading Exact(ConductivityStandard standard, double microsiemens, double celsius)
        => In(standard, microsiemens, celsius) with { StandardRelativeSd = 0, CelsiusSd = 0, ConductanceSdMicrosiemens = 0 };
}
