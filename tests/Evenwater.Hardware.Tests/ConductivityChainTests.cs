using System.Globalization;
using System.Text;
using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Core.Stations;
using Evenwater.Core.Water;
using Evenwater.Hardware;
using Evenwater.Hardware.Rig;

namespace Evenwater.HardwareTests;

/// <summary>
/// From the liquid to the value at 25 °C, through the rig's cell and front end, the converter's registers, the 1-wire text, the drivers and the calibration: for each kind of cell a cell that is 7 % off, a front end
/// that adds 1 mV, a thermometer 0.4 °C off, each calibrated by the program's own steps first. The truth is none of the program's: ISO 7888's printed factors for fresh water, gsw's practical salinity for the sea.
/// </summary>
public sealed class ConductivityChainTests(ITestOutputHelper told)
{
    private const double MostRelative = 0.003;

    /// <summary>ISO 7888, factor table, as reprinted in laboratory meter manuals.</summary>
    private static readonly (double Celsius, double F25)[] Fresh = [(5, 1.643), (10, 1.428), (15, 1.256), (20, 1.116), (25, 1.000), (30, 0.903), (35, 0.822)];

    /// <summary>gsw 3.6.16, C_from_SP, mS/cm at 5, 10 to 35 °C: practical salinity 10, 20, 30, 35, 37 and 42.</summary>
    private static readonly double[][] Sea =
    [
        [10.6128, 12.1256, 13.7030, 15.3381, 17.0243, 18.7551, 20.5244],
        [20.1102, 22.9391, 25.8873, 28.9420, 32.0910, 35.3223, 38.6243],
        [29.1053, 33.1559, 37.3762, 41.7479, 46.2532, 50.8753, 55.5975],
        [33.4554, 38.0897, 42.9175, 47.9180, 53.0710, 58.3570, 63.7569],
        [35.1705, 40.0338, 45.0999, 50.3471, 55.7541, 61.3005, 66.9663],
        [39.3988, 44.8240, 50.4752, 56.3278, 62.3581, 68.5434, 74.8616],
    ];

    [Theory]
    [InlineData(0.1, 75, new[] { 10.0, 30, 84, 200, 500, 1400 }, ConductivityStandard.Sold147, ConductivityStandard.Sold1413)]
    [InlineData(1, 90, new[] { 100.0, 185, 410, 1000, 5000, 13000 }, ConductivityStandard.Sold1413, ConductivityStandard.TenthMolal)]
    [InlineData(10, 200, new double[0], ConductivityStandard.TenthMolal, ConductivityStandard.SeaWater35)]
    public void A_calibrated_cell_reads_its_range_within_three_in_a_thousand_and_a_count_from_5_to_35_degrees(
        double nominal, double feedbackOhms, double[] freshAt25, ConductivityStandard low, ConductivityStandard high)
    {
        using var chain = new Chain(nominal, feedbackOhms, freshAt25.Length == 0 ? Compensation.SeaWater : Compensation.NaturalWater);
        chain.CalibrateThermometer();
        chain.CalibrateCell(low, high, 22.3);
        var table = new StringBuilder($"cell {nominal} 1/cm, {feedbackOhms} ohm: calibrated {chain.Input.CellConstantPerCm:0.00000} 1/cm, offset {chain.Input.OffsetMicrosiemensPerCm:0.00} µS/cm, thermometer {chain.OffsetCelsius:0.00} °C; one count {Calibrate.StepMicrosiemensPerCm(chain.Input):0.000} µS/cm\n");
        table.AppendLine("    µS/cm at 25 °C   worst at °C   off µS/cm     off %   of what is allowed");
        var worst = 0.0;
        foreach (var water in (freshAt25.Length == 0 ? SeaPoints() : FreshPoints(freshAt25)).GroupBy(point => point.At25))
        {
            var read = water.Select(point => (point.Celsius, point.At25, Off: chain.Read(new SimulatedCup(point.Kappa, point.Celsius)) - point.At25, point.Kappa))
                .Select(point => (point.Celsius, point.At25, point.Off, Share: Math.Abs(point.Off) / Allowed(point.At25, point.Kappa))).ToList();
            Assert.Equal(Fresh.Length, read.Count);
            var most = read.MaxBy(point => point.Share);
            table.AppendLine(CultureInfo.InvariantCulture, $"    {most.At25,14:0.0} {most.Celsius,13:0} {most.Off,11:0.00} {100 * most.Off / most.At25,9:0.000} {most.Share,12:0.00}");
            worst = Math.Max(worst, most.Share);
        }

        told.WriteLine($"{table}    worst: {worst:0.00} of what is allowed");
        Assert.InRange(worst, 0, 1);

        // A count is a count at the water's own temperature. The printed factors are rounded to 0.0005, which is the truth's own doubt, and nothing is allowed for it.
        double Allowed(double at25, double kappa) => (MostRelative * at25) + (Calibrate.StepMicrosiemensPerCm(chain.Input) * at25 / kappa);
    }

    [Fact]
    public void Without_its_calibration_the_same_cell_is_seen_to_be_off()
    {
        using var chain = new Chain(1, 90, Compensation.NaturalWater);
        Assert.False(Math.Abs(chain.Read(new SimulatedCup(410 / 1.116, 20)) - 410) < 0.05 * 410);
    }

    private static IEnumerable<(double Kappa, double Celsius, double At25)> FreshPoints(double[] at25) =>
        from water in at25
        from point in Fresh
        select (water / point.F25, point.Celsius, water);

    private static IEnumerable<(double Kappa, double Celsius, double At25)> SeaPoints() =>
        from water in Sea
        from i in Enumerable.Range(0, Fresh.Length)
        select (1000 * water[i], Fresh[i].Celsius, 1000 * water[4]);

    /// <summary>One cell with its thermometer on the rig, and what its calibration has come to.</summary>
    private sealed class Chain : IDisposable
    {
        private readonly SimulatedRig _rig;
        private readonly StationDevices _devices;
        private readonly Sensors _sensors;
        private RawSamples _latest = RawSamples.None();
        private double _seconds;

        public Chain(double nominal, double feedbackOhms, Compensation compensation)
        {
            Input = new ConductivityInput { AdcInput = 0, FeedbackOhms = feedbackOhms, CellConstantPerCm = nominal, Compensation = compensation };
            _sensors = TestStation.Exact.Sensors with { VesselConductivity = Input };
            var station = TestStation.Exact with { Sensors = _sensors with { VesselConductivity = Input with { Compensation = Compensation.NaturalWater } } };
            _rig = new SimulatedRig(station, 1, [], facts => facts.Ideal() with
            {
                VesselProbe = new ProbeFacts { Gain = 1.07, OffsetVolts = 0.001, LagSeconds = 0, Noise = 0, Wander = 0 },
                VesselThermometer = new ThermometerFacts { OffsetCelsius = 0.4, LagSeconds = 0, NoiseCelsius = 0 },
            });
            _devices = StationDevices.OnRig(_sensors, _rig);
            _rig.Advance(default);
        }

        public ConductivityInput Input { get; private set; }

        public double OffsetCelsius { get; private set; }

        public void CalibrateThermometer()
        {
            Dip(new SimulatedCup(300, 0));
            OffsetCelsius = ThermometerOffset.InIce(Calibrate.UncorrectedCelsius(_latest[Channel.VesselTemperature].Code), 0.02).Found!.Celsius;
        }

        public void CalibrateCell(ConductivityStandard low, ConductivityStandard high, double celsius)
        {
            var found = CellCalibration.ByTwo(Input.CellConstantPerCm, In(low, celsius), In(high, celsius)).Found!;
            Input = Input with { CellConstantPerCm = found.PerCm, OffsetMicrosiemensPerCm = found.OffsetMicrosiemensPerCm };
        }

        public double Read(SimulatedCup cup)
        {
            Dip(cup);
            return Calibrate.Apply(_latest, _sensors with { VesselConductivity = Input, VesselThermometerOffsetCelsius = OffsetCelsius })[Channel.VesselConductivity].Value;
        }

        public void Dispose() => _devices.Dispose();

        private StandardReading In(ConductivityStandard standard, double celsius)
        {
            // A standard of 0.02 %: whether an offset of this size stands out of a label's 1 % is another question.
            var cup = new StandardCup(standard, 0.0002, 0.02);
            while (cup.State != StandardCupState.Steady)
            {
                Dip(new SimulatedCup(StandardConductivity.MicrosiemensPerCm(standard, celsius), celsius));
                cup.Step(
                    Calibrate.ConductanceMicrosiemens(_latest[Channel.VesselConductivity].Code, Input),
                    Calibrate.UncorrectedCelsius(_latest[Channel.VesselTemperature].Code) - OffsetCelsius, _latest[Channel.VesselConductivity].TakenAt);
                Assert.InRange(cup.Count, 1, StandardCup.Wanted);
            }

            return cup.Reading;
        }

        private void Dip(SimulatedCup cup)
        {
            _rig.Dip(vessel: true, cup);
            for (var i = 0; i < 2; i++)
            {
                _seconds++;
                _rig.Advance(MonotonicTime.FromSeconds(_seconds));
                _devices.ReadProbes(MonotonicTime.FromSeconds(_seconds), ref _latest);
            }
        }
    }
}
