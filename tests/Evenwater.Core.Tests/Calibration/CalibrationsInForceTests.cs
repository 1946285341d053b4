using Evenwater.Core.Calibration;
using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;
using Evenwater.Core.Water;
using Evenwater.CoreTests.Stations;

namespace Evenwater.CoreTests.Calibration;

/// <summary>A station file with what its calibrations came to over it.</summary>
public class CalibrationsInForceTests
{
    private static readonly DateTimeOffset At = new(2026, 3, 1, 18, 0, 0, TimeSpan.Zero);
    private static readonly Station File = River.Station;

    [Fact]
    public void The_latest_of_each_key_holds_and_what_is_not_named_stays()
    {
        var station = CalibrationsInForce.Over(File, [Record(("sensors.vesselConductivity.cellConstantPerCm", 1.05), ("sensors.vesselThermometerOffsetCelsius", 0.2)),
            Record(("sensors.vesselConductivity.cellConstantPerCm", 1.07))], out var leftOut);
        Assert.Empty(leftOut);
        Assert.Equal((1.07, 0.2), (station.Sensors.VesselConductivity.CellConstantPerCm, station.Sensors.VesselThermometerOffsetCelsius));
        Assert.Equal(File, CalibrationsInForce.AsIn(station, File));
    }

    [Theory]
    [InlineData("sensors.vesselConductivity.cellConstantPerCm", 25)] // the file's own rule: 0.01 to 20
    [InlineData("sensors.vesselThermometerOffsetCelsius", -1.5)]
    [InlineData("sensors.loadCell.countsPerKilogram", 20_000)]       // none is fitted
    [InlineData("safety.maxInflowLitres", 5)]                        // no calibration's to set
    public void A_record_that_can_not_be_is_left_out_whole_and_told(string key, double value)
    {
        var station = CalibrationsInForce.Over(File, [Record(("sensors.tankConductivity.cellConstantPerCm", 1.02), (key, value))], out var leftOut);
        Assert.Equal(File, station);
        Assert.Contains(key, Assert.Single(leftOut), StringComparison.Ordinal);
    }

    [Fact]
    public void Every_key_is_read_and_set_by_its_own_name()
    {
        var whole = File with
        {
            Sensors = File.Sensors with
            {
                LoadCell = new() { ClockLine = 1, DataLine = 2, ZeroCounts = 10, CountsPerKilogram = 1000 },
                Level = new() { AdcInput = 2, ZeroVolts = 0.4, MillimetresPerVolt = 300 },
                TankThermometer = "28-000000000002",
                TankConductivity = new() { AdcInput = 1, CellConstantPerCm = 1 },
            },
        };
        foreach (var key in CalibratedKeys.All)
        {
            var changed = key.With(whole, 17);
            Assert.Equal(17, key.Get(changed));
            Assert.Equal(key.Name, Assert.Single(CalibrationsInForce.Changes(whole, changed)).Key.Name);
        }
    }

    [Fact] // 16000 counts of 32768 at 2.048 V are 1 V, over 2000 ohm and 1 V 500 µS; 2 1/cm and 30 µS/cm: 1030 µS/cm. ISO 7888's factor is 1.116 at 20 °C; 328 / 16 = 20.5 °C less 0.5
    public void Offsets_are_applied_at_the_waters_own_temperature()
    {
        var raw = RawSamples.None();
        raw[Channel.VesselConductivity] = RawSample.Of(16_000, default);
        raw[Channel.VesselTemperature] = RawSample.Of(328, default);
        raw[Channel.TankTemperature] = RawSample.Of(328, default);
        var readings = Calibrate.Apply(raw, File.Sensors with
        {
            VesselConductivity = new() { AdcInput = 0, CellConstantPerCm = 2, OffsetMicrosiemensPerCm = 30 },
            VesselThermometerOffsetCelsius = 0.5,
            TankThermometerOffsetCelsius = -0.25,
        });
        Assert.Equal(20, readings[Channel.VesselTemperature].Value, 1e-12);
        Assert.Equal(20.75, readings[Channel.TankTemperature].Value, 1e-12);
        Assert.Equal(1030 * 1.116, readings[Channel.VesselConductivity].Value, 1030 * 0.0005);
    }

    /// <summary>A line of 2 % a kelvin is at nothing at -25 °C, which a thermometer with a bad wire may well read: no number, and no reason to stop.</summary>
    [Theory]
    [InlineData(-25)]
    [InlineData(-55)]
    [InlineData(125)]
    public void A_straight_line_to_25_degrees_bears_every_temperature_that_a_thermometer_can_read(int celsius)
    {
        var raw = RawSamples.None();
        raw[Channel.VesselConductivity] = RawSample.Of(16_000, default);
        raw[Channel.VesselTemperature] = RawSample.Of(16 * celsius, default);
        var input = new ConductivityInput { AdcInput = 0, CellConstantPerCm = 1, Compensation = Compensation.Linear, AlphaPerKelvin = 0.02 };
        Assert.InRange(LinearCompensation.To25(Calibrate.MicrosiemensPerCm(16_000, input), celsius, input.AlphaPerKelvin), 1, 1e5);
        Assert.Equal(Reason.OutOfRange, Calibrate.Apply(raw, File.Sensors with { VesselConductivity = input })[Channel.VesselConductivity].Reason);
    }

    [Theory] // gsw 3.6.16, C_from_SP, practical salinity 35 at 15 and 25 °C and 10 at 30 and 25 °C; natural water's function would say 53 904 and 16 936
    [InlineData(240, 42_917.5, 53_071)]
    [InlineData(400, 53_071, 53_071)]
    [InlineData(480, 18_755.1, 17_024.3)]
    public void Sea_water_is_carried_along_its_own_salinity(int sixteenths, double atTemperature, double at25)
    {
        var input = new ConductivityInput { AdcInput = 0, FeedbackOhms = 200, CellConstantPerCm = 10, Compensation = Compensation.SeaWater };
        var raw = RawSamples.None();
        raw[Channel.VesselConductivity] = RawSample.Of((int)Math.Round(atTemperature / Calibrate.StepMicrosiemensPerCm(input)), default);
        raw[Channel.VesselTemperature] = RawSample.Of(sixteenths, default);
        var readings = Calibrate.Apply(raw, File.Sensors with { VesselConductivity = input });
        Assert.Equal(at25, readings[Channel.VesselConductivity].Value, 0.0005 * at25);
        raw[Channel.VesselTemperature] = RawSample.Of(16 * 36, default);
        Assert.Equal(Reason.OutOfRange, Calibrate.Apply(raw, File.Sensors with { VesselConductivity = input })[Channel.VesselConductivity].Reason);
    }

    /// <summary>The tank's probe had gone on agreeing with a vessel's that read otherwise again, 5 % off here, and runs began sure of it to 0.3 %.</summary>
    [Fact]
    public void A_calibration_that_both_probes_were_matched_to_is_not_taken_back_beneath_that()
    {
        var vessel = Record(("sensors.vesselConductivity.cellConstantPerCm", 1.05), ("probes.gainRatioSd", 0.021));
        var both = Record(("sensors.tankConductivity.cellConstantPerCm", 1.04), ("probes.gainRatioSd", 0.003)) with { Probe = "both" };
        var tank = Record(("sensors.tankConductivity.cellConstantPerCm", 1.02));
        var again = Record(("sensors.vesselConductivity.cellConstantPerCm", 1.06));
        Assert.StartsWith("withdrawn: \"n1\". Allowed: a calibration that no later one was matched to; in one cup on 2026-03-01", Undo("n1", vessel, both), StringComparison.Ordinal);
        Assert.StartsWith("withdrawn: \"n2\"", Undo("n2", tank, vessel, both), StringComparison.Ordinal); // what was done before it does not matter
        Assert.Equal("", Undo("n2", vessel, both)); // the pair itself
        Assert.Equal("", Undo("n1", tank, both)); // the pair set it anew
        Assert.Equal("", Undo("n1", vessel, again, both)); // no longer in force
        Assert.Equal("", Undo("n1", vessel, both, again));
        Assert.Equal("", Undo("n2", both, vessel));

        static string Undo(string id, params CalibrationRecord[] made)
        {
            var book = Book.Of(made.Select((record, i) => new Note { Id = $"n{i + 1}", Kind = NoteKind.Calibration, By = "Ann", At = At.AddDays(i), Calibration = record }));
            return string.Concat(NoteRules.Problems(new Note { Kind = NoteKind.Calibration, By = "Ann", Corrects = id, Withdrawn = true }, book, null));
        }
    }

    private static CalibrationRecord Record(params (string Key, double Value)[] values)
        => new("vessel-conductivity", At, "keeper", "", [.. values.Select(v => new CalibratedValue(v.Key, "", null, v.Value, 0))], At.AddDays(90));
}
