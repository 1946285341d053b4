using Evenwater.Core.Estimation;
using Evenwater.Core.Stations;

namespace Evenwater.CoreTests.Stations;

public class StationRulesTests
{
    [Fact]
    public void The_river_station_has_nothing_wrong() => Assert.Empty(StationRules.Check(River.Station));

    /// <summary>One fault each, and the only keys that may be blamed for it.</summary>
    public static TheoryData<string, Case> Faults => new()
    {
        { "name", River.Station with { Name = "Sim River" } },
        { "name", River.Station with { Name = "sim-" + new string('a', 29) } },
        { "name", River.Station with { Name = "river" } }, // simulated, but not named so
        { "name", River.With(sensors: s => s with { Source = SensorSource.Board }) }, // named simulated, but is not
        { "vessel.startVolumeLitres", River.With(v => v with { StartVolumeLitres = 0.01, StartVolumeSdLitres = 0.001 }) },
        { "vessel.startVolumeLitres", River.With(v => v with { StartVolumeLitres = double.NaN }) },
        { "vessel.startVolumeSdLitres", River.With(v => v with { StartVolumeSdLitres = 0 }) },
        { "vessel.startVolumeSdLitres", River.With(v => v with { StartVolumeSdLitres = 0.81 }) },
        { "vessel.brimLitres", River.With(v => v with { BrimLitres = 11_600 }) }, // mL by mistake
        { "vessel.brimSdLitres", River.With(v => v with { BrimSdLitres = 0 }) },
        { "vessel.freeboardLitres", River.With(v => v with { FreeboardLitres = 0.35 }) }, // 3 x 0.12 = 0.36
        { "vessel.freeboardLitres", River.With(v => v with { FreeboardLitres = 11.6 }) },
        { "vessel.catchLitres", River.With(v => v with { CatchLitres = 0 }) },
        { "vessel.areaSquareMetres", River.With(v => v with { AreaSquareMetres = 450 }) }, // cm2 by mistake
        { "vessel.heatExchangeWattsPerKelvin", River.With(v => v with { HeatExchangeWattsPerKelvin = 0 }) },
        { "vessel.standpipeLitres", River.With(v => v with { StandpipeLitres = 8 }) }, // but the mode is fill
        { "vessel.standpipeLitres", River.With(v => v with { Mode = VesselMode.Standpipe }) },
        { "vessel.standpipeLitres", River.With(v => v with { Mode = VesselMode.Standpipe, StandpipeLitres = 10.4 }) }, // at the mark
        { "vessel.standpipeLitres", River.With(v => v with { Mode = VesselMode.Standpipe, StandpipeLitres = 1.6 }) }, // at the start volume
        { "vessel.standpipeSdLitres", River.With(v => v with { Mode = VesselMode.Standpipe, StandpipeLitres = 8, StandpipeSdLitres = 0 }) },
        { "drip.flowMillilitresPerMinute", River.With(drip: d => d with { FlowMillilitresPerMinute = 1500 }) },
        { "drip.flowRelativeSd", River.With(drip: d => d with { FlowRelativeSd = 0 }) },
        { "drip.dropMillilitres", River.With(drip: d => d with { DropMillilitres = 20 }) }, // drops per mL by mistake
        { "evaporation.millilitresPerHour", River.Station with { Evaporation = new() { MillilitresPerHour = 451 } } }, // half of 900 mL/h is 450
        { "pacing.path", River.Station with { Limits = new(), Pacing = new() { Path = PacePath.Limits } } }, // no limit to keep to
        { "pacing.overHours", River.Station with { Pacing = new() { Path = PacePath.Line } } },
        { "pacing.overHours", River.Station with { Pacing = new() { Path = PacePath.Line, OverHours = 480 } } }, // minutes by mistake
        { "pacing.overHours", River.Station with { Limits = new() { CelsiusPerHour = 2 }, Pacing = new() { Path = PacePath.Limits, OverHours = 8 } } },
        { "pacing.shareOfLimit", River.Station with { Pacing = new() { Path = PacePath.Line, OverHours = 8, ShareOfLimit = 95 } } }, // percent by mistake
        { "pacing.leastPulseSeconds", River.Station with { Pacing = new() { Path = PacePath.Line, OverHours = 8, LeastPulseSeconds = 2 } } },
        { "pacing.mostPulsesPerHour", River.Station with { Pacing = new() { Path = PacePath.Line, OverHours = 8, MostPulsesPerHour = 121 } } },
        { "pacing.mostPulsesPerHour", River.Station with { Pacing = new() { Path = PacePath.Line, OverHours = 8, LeastPulseSeconds = 60, MostPulsesPerHour = 31 } } }, // 60 s open and 60 s shut are 30 an hour
        { "match.toleranceMicrosiemensPerCm", River.With(match: m => m with { ToleranceMicrosiemensPerCm = null }) },
        { "match.toleranceMicrosiemensPerCm", River.With(match: m => m with { ToleranceFractionOfDifference = 0.1 }) },
        { "match.toleranceMicrosiemensPerCm", River.With(match: m => m with { ToleranceMicrosiemensPerCm = 0.5 }) },
        { "match.toleranceFractionOfDifference", River.With(match: m => m with { ToleranceMicrosiemensPerCm = null, ToleranceFractionOfDifference = 5 }) },
        { "match.temperatureToleranceCelsius", River.With(match: m => m with { TemperatureToleranceCelsius = 0 }) },
        { "match.replacedFraction", River.With(match: m => m with { ReplacedFraction = 1 }) },
        { "match.dwellMinutes", River.With(match: m => m with { DwellMinutes = 600 }) },
        { "source.volumeLitres", River.With(source: s => s with { VolumeLitres = 0.5, MaxDrawLitres = 0.4, SurfaceAreaSquareMetres = 0.01 }) },
        { "source.maxDrawLitres", River.With(source: s => s with { MaxDrawLitres = 241 }) },
        { "source.surfaceAreaSquareMetres", River.With(source: s => s with { SurfaceAreaSquareMetres = 0 }) },
        { "source.intakeDepthMillimetres", River.With(source: s => s with { IntakeDepthMillimetres = 0.016 }) }, // metres by mistake
        { "source.intakeDepthMillimetres", River.With(source: s => s with { IntakeDepthMillimetres = 501 }) }, // 0.48 m2 x 501 mm > 240 L
        { "source.topOffReservoirLitres", River.With(source: s => s with { TopOffReservoirLitres = -1 }) },
        { "waters.bagMicrosiemensPerCm", River.With(waters: w => w with { BagMicrosiemensPerCm = -1 }) },
        { "waters.tankTemperatureCelsius", River.With(waters: w => w with { TankTemperatureCelsius = 73.4 }) }, // °F by mistake
        { "waters.bagMicrosiemensPerCm", Sea(w => w with { BagMicrosiemensPerCm = 62_400 }) }, // salinity 42 has 62.36 mS/cm at 25 °C, by PSS-78's equation solved apart from this program
        { "waters.tankTemperatureCelsius", Sea(w => w with { TankTemperatureCelsius = 36 }) }, // PSS-78 ends at 35 °C
        { "room.temperatureCelsius", River.Station with { Room = new() { TemperatureCelsius = 72 } } },
        { "floats.positionSdLitres", River.With(floats: f => f with { PositionSdLitres = 0 }) },
        { "floats.lowLitres", River.With(floats: f => f with { LowLitres = 10.8 }) }, // not below the high one
        { "floats.lowLitres", River.With(floats: f => f with { LowLitres = null }) }, // its line is still given
        { "floats.lowLitres", River.With(floats: f => f with { LowLitres = 0 }) },
        { "floats.highLitres", River.With(floats: f => f with { HighLitres = 11.3 }) }, // 3 x 0.12 below 11.6 is 11.24
        { "floats.highLitres", River.With(floats: f => f with { HighLitres = 1.6, LowLitres = 1 }) },
        { "floats.highLitres", River.With(sensors: s => s with { FloatHighLine = null }) },
        { "probes.gainRatioSd", River.Station with { Probes = new() { GainRatioSd = 0 } } },
        { "drawOffs[0].litres", River.Station with { DrawOffs = [new(3600, 0, 0.02)] } },
        { "drawOffs[0].relativeSd", River.Station with { DrawOffs = [new(3600, 1, 2)] } },
        { "drawOffs[1].atSeconds", River.Station with { DrawOffs = [new(3600, 1, 0.02), new(1800, 1, 0.02)] } },
        { "sensors.gpioChipLabel", River.With(sensors: s => s with { GpioChipLabel = " " }) },
        { "sensors.i2cBus", River.With(sensors: s => s with { I2cBus = 32 }) },
        { "sensors.oneWireRoot", River.With(sensors: s => s with { OneWireRoot = "w1" }) },
        { "sensors.vesselConductivity.adcAddress", Cell(c => c with { AdcAddress = 76 }) },
        { "sensors.vesselConductivity.adcInput", Cell(c => c with { AdcInput = 4 }) },
        { "sensors.vesselConductivity.fullScaleVolts", Cell(c => c with { FullScaleVolts = 2 }) },
        { "sensors.vesselConductivity.excitationVolts", Cell(c => c with { ExcitationVolts = 0 }) },
        { "sensors.vesselConductivity.feedbackOhms", Cell(c => c with { FeedbackOhms = 2 }) },
        { "sensors.vesselConductivity.cellConstantPerCm", Cell(c => c with { CellConstantPerCm = 0 }) },
        { "sensors.vesselConductivity.alphaPerKelvin", Cell(c => c with { AlphaPerKelvin = 1.9 }) }, // percent by mistake
        { "sensors.tankConductivity.compensation", Cell(c => c with { Compensation = Compensation.SeaWater }) }, // the tank's by the natural-water function
        { "sensors.tankConductivity.alphaPerKelvin", River.With(sensors: s => s with
            {
                VesselConductivity = s.VesselConductivity with { Compensation = Compensation.Linear, AlphaPerKelvin = 0.02 },
                TankConductivity = s.TankConductivity! with { Compensation = Compensation.Linear, AlphaPerKelvin = 0.019 },
            }) },
        { "drip.dropRelativeSd", River.With(drip: d => d with { DropRelativeSd = 12 }) }, // percent by mistake
        { "sensors.dropCounterLine", River.With(sensors: s => s with { DropCounterLine = 23 }) }, // the valve's line
        { "sensors.dropCounterLine", River.With(sensors: s => s with { DropCounterLine = -1 }) },
        { "sensors.loadCell.clockLine", Scale(c => c with { ClockLine = 22 }) }, // the leak sensor's line
        { "sensors.loadCell.dataLine", Scale(c => c with { DataLine = 24 }) }, // its own clock
        { "sensors.loadCell.zeroCounts", Scale(c => c with { ZeroCounts = 8_388_608 }) },
        { "sensors.loadCell.countsPerKilogram", Scale(c => c with { CountsPerKilogram = 0 }) },
        { "sensors.loadCell.countsPerKilogram", Scale(c => c with { CountsPerKilogram = double.NaN }) },
        { "sensors.loadCell.countsPerKilogram", Scale(c => c with { CountsPerKilogram = 21.5 }) }, // per gram by mistake
        { "sensors.loadCell.zeroSdKilograms", Scale(c => c with { ZeroSdKilograms = 50 }) }, // grams by mistake
        { "sensors.level.adcAddress", Level(l => l with { AdcAddress = 48 }) }, // hexadecimal by mistake
        { "sensors.level.adcInput", Level(l => l with { AdcInput = 1 }) }, // the tank's input
        { "sensors.level.fullScaleVolts", Level(l => l with { FullScaleVolts = 3.3 }) },
        { "sensors.level.zeroVolts", Level(l => l with { ZeroVolts = 2.1 }) },
        { "sensors.level.millimetresPerVolt", Level(l => l with { MillimetresPerVolt = -300 }) },
        { "sensors.level.brokenBelowVolts", Level(l => l with { BrokenBelowVolts = 0.5 }) }, // above its own zero
        { "sensors.level.zeroSdMillimetres", Level(l => l with { ZeroSdMillimetres = 0 }) },
        { "vessel.areaSquareMetres", Level(l => l) with { Vessel = River.Station.Vessel with { AreaSquareMetres = null } } },
        { "sensors.tankConductivity.adcInput", Cell(c => c with { AdcInput = 1 }) }, // both probes on one input
        { "sensors.vesselThermometer", River.With(sensors: s => s with { VesselThermometer = "28-0000000000G1" }) },
        { "sensors.vesselThermometer", River.With(sensors: s => s with { VesselThermometer = "10-000802b5a1c3" }) }, // a DS18S20: never a reading by this driver
        { "sensors.tankThermometer", River.With(sensors: s => s with { TankThermometer = "3b-0000054b97a5" }) },
        { "sensors.tankThermometer", River.With(sensors: s => s with { TankThermometer = s.VesselThermometer }) },
        { "sensors.tankThermometer", River.With(sensors: s => s with { TankThermometer = null }) }, // its probe would never have a reading at 25 °C, and no run would open
        { "sensors.floatHighLine", River.With(sensors: s => s with { FloatHighLine = 17 }) },
        { "sensors.valveLine", River.With(sensors: s => s with { ValveLine = 22 }) },
        { "sensors.valveLine", River.With(sensors: s => s with { ValveLine = -1 }) },
        { "limits.microsiemensPerCmPerHour", River.Station with { Limits = new() { MicrosiemensPerCmPerHour = 0 } } },
        { "limits.celsiusPerHour", River.Station with { Limits = new() { CelsiusPerHour = 30 } } },
        { "limits.totalMicrosiemensPerCm", River.Station with { Limits = new() { TotalMicrosiemensPerCm = 0.5 } } },
        { "limits.totalCelsius", River.Station with { Limits = new() { TotalCelsius = 31 } } },
        { "limits.totalPh", River.Station with { Limits = new() { TotalPh = 0 } } },
        { "waters.bagPh", River.With(waters: w => w with { BagPh = 3.9 }) },
        { "waters.tankPh", River.With(waters: w => w with { TankPh = 10.1 }) },
        { "arrival.hoursInTransit", River.Station with { Arrival = new() { HoursInTransit = -1 } } },
        { "arrival.totalAmmoniaMilligramsPerLitre", River.Station with { Arrival = new() { TotalAmmoniaMilligramsPerLitre = 201 } } },
        { "keeper.leavesAtHour", River.Station with { Keeper = new() { LeavesAtHour = 22 } } }, // and never back
        { "proof.everyDays", River.Station with { Proof = new() { EveryDays = 0 } } },
        { "proof.everyDays", River.Station with { Proof = new() { EveryDays = 367 } } },
        { "weeklyTest.atHour", River.Station with { WeeklyTest = new() { AtHour = 24 } } },
        { "weeklyTest.atHour", River.Station with { WeeklyTest = new() { AtHour = 12.5 } } },
        { "safety.maxOpenMinutes", River.With(safety: s => s with { MaxOpenMinutes = 0 }) },
        { "safety.maxInflowLitres", River.With(safety: s => s with { MaxInflowLitres = 10.1 }) }, // 1.6 + 10.1 passes the brim
        // 6.4 L to the pipe and 5 below it: above the pipe the vessel holds nothing for the catch vessel
        { "safety.maxInflowLitres", River.With(v => v with { Mode = VesselMode.Standpipe, StandpipeLitres = 8, StandpipeSdLitres = 0.1, CatchLitres = 5 }, safety: s => s with { MaxInflowLitres = 11.41 }) },
        { "safety.tripProbability", River.With(safety: s => s with { TripProbability = 0.21 }) },
        { "safety.tripHorizonSeconds", River.With(safety: s => s with { TripHorizonSeconds = 10 }) },
        { "safety.leaseSeconds", River.With(safety: s => s with { LeaseSeconds = 3.1 }) },
        { "safety.leaseSeconds", River.With(safety: s => s with { LeaseSeconds = 1 }) }, // it would end as the next is due
        { "safety.floatDebounceMilliseconds", River.With(safety: s => s with { FloatDebounceMilliseconds = 49 }) },
        { "safety.floatDebounceMilliseconds", River.With(safety: s => s with { FloatDebounceMilliseconds = 1001 }) },
    };

    [Theory]
    [MemberData(nameof(Faults), DisableDiscoveryEnumeration = true)]
    public void One_fault_is_one_key_named_with_value_range_and_advice(string key, Case given)
    {
        var station = given.Station;
        var problems = StationRules.Check(station);
        Assert.Contains(problems, problem => problem.Key == key);
        Assert.All(problems, problem =>
        {
            Assert.NotEmpty(problem.Value);
            Assert.NotEmpty(problem.Allowed);
            Assert.EndsWith(".", problem.Advice.TrimEnd(), StringComparison.Ordinal);
        });
    }

    [Fact]
    public void A_start_above_the_mark_and_a_brim_out_of_range_are_both_told()
    {
        var keys = StationRules.Check(River.With(v => v with { StartVolumeLitres = 10.4, BrimSdLitres = 3 })).Select(problem => problem.Key).ToList();
        Assert.Contains("vessel.startVolumeLitres", keys);
        Assert.Contains("vessel.brimSdLitres", keys);
    }

    [Fact]
    public void A_standpipe_needs_a_vessel_to_catch_what_it_sends_on()
    {
        var station = River.With(v => v with { Mode = VesselMode.Standpipe, StandpipeLitres = 8, CatchLitres = null });
        Assert.Equal(["vessel.catchLitres"], StationRules.Check(station).Select(problem => problem.Key));
    }

    [Fact]
    public void Limits_are_allowed_up_to_their_ends()
        => Assert.Empty(StationRules.Check(River.With(
            safety: s => s with { TripProbability = 0.2, LeaseSeconds = 3, FloatDebounceMilliseconds = 50, MaxInflowLitres = 10 },
            floats: f => f with { HighLitres = 11.24 })));

    [Theory]
    [InlineData(150.0, null)]
    [InlineData(null, 2.5)]
    public void A_path_along_one_limit_for_an_hour_needs_nothing_else(double? microsiemensPerCm, double? celsius) => Assert.Empty(StationRules.Check(
        River.Station with { Limits = new() { MicrosiemensPerCmPerHour = microsiemensPerCm, CelsiusPerHour = celsius }, Pacing = new() { Path = PacePath.Limits } }));

    [Fact] // by hand as above: a run may take what pipe and catch vessel hold, and not a drop more
    public void A_run_over_a_standpipe_may_fill_its_catch_vessel_and_no_more() => Assert.Empty(StationRules.Check(
        River.With(v => v with { Mode = VesselMode.Standpipe, StandpipeLitres = 8, StandpipeSdLitres = 0.1, CatchLitres = 5 }, safety: s => s with { MaxInflowLitres = 11.4 })));

    /// <summary>The last value that is allowed, and the first that is not, with words of what is told; each end by hand.</summary>
    public static TheoryData<string, Case, Case, string> Ends => new()
    {
        { "vessel.startVolumeSdLitres", River.With(v => v with { StartVolumeSdLitres = 0.8 }), River.With(v => v with { StartVolumeSdLitres = 0.801 }), "half the start volume, 0.8 L" },
        { "vessel.brimSdLitres", River.With(v => v with { BrimSdLitres = 2.32 }), River.With(v => v with { BrimSdLitres = 2.33 }), "a fifth of the brim, 2.32 L" },
        { "vessel.freeboardLitres", River.With(v => v with { FreeboardLitres = 3 * 0.12 }), River.With(v => v with { FreeboardLitres = 0.359 }), "0.36 to less than 11.6 L" },
        { "vessel.freeboardLitres", River.With(v => v with { BrimSdLitres = 0.03, FreeboardLitres = 0.117 }), River.With(v => v with { BrimSdLitres = 0.03, FreeboardLitres = 0.115 }), "0.116 to less than 11.6 L" }, // 1 % of the brim is more than 3 x 0.03
        { "vessel.standpipeSdLitres", Piped(v => v with { StandpipeSdLitres = 2.32 }), Piped(v => v with { StandpipeSdLitres = 2.33 }), "a fifth of the brim, 2.32 L" },
        { "floats.lowLitres", Low(11.5), Low(11.6), "less than the brim, 11.6 L" },
        { "sensors.level.brokenBelowVolts", Level(l => l with { BrokenBelowVolts = 0.4 }), Level(l => l with { BrokenBelowVolts = 0.41 }), "0 to zeroVolts, 0.4 V" },
        { "pacing.mostPulsesPerHour", Pulses(30), Pulses(31), "up to 30 with this" }, // 60 s open and 60 s shut
        { "evaporation.millilitresPerHour", River.Station with { Evaporation = new() { MillilitresPerHour = 450 } }, River.Station with { Evaporation = new() { MillilitresPerHour = 451 } }, "half the drip, 450 mL/h" },
        { "source.maxDrawLitres", River.With(source: s => s with { MaxDrawLitres = 240 }), River.With(source: s => s with { MaxDrawLitres = 241 }), "the source's volume, 240 L" },
        { "source.intakeDepthMillimetres", River.With(source: s => s with { IntakeDepthMillimetres = 500 }), River.With(source: s => s with { IntakeDepthMillimetres = 501 }), "at most 500 mm" }, // 240 L on 0.48 m2
        { "drawOffs[0].litres", River.Station with { DrawOffs = [new(3600, 11.5, 0.02)] }, River.Station with { DrawOffs = [new(3600, 11.6, 0.02)] }, "less than the brim, 11.6 L" },
        { "waters.bagMicrosiemensPerCm", Sea(w => w with { BagMicrosiemensPerCm = 62_300 }), Sea(w => w with { BagMicrosiemensPerCm = 62_400 }), "ends at salinity 42" },
        { "match.toleranceMicrosiemensPerCm", River.Station, River.With(match: m => m with { ToleranceMicrosiemensPerCm = null }), "Give one of the two." },
        { "match.toleranceMicrosiemensPerCm", River.Station, River.With(match: m => m with { ToleranceFractionOfDifference = 0.1 }), "Keep one of the two." },
        { "name", River.Station, River.Station with { Name = "river" }, "a name that begins with sim-, because" },
        { "name", River.With(sensors: s => s with { Source = SensorSource.Board }) with { Name = "river" }, River.With(sensors: s => s with { Source = SensorSource.Board }), "a name that does not begin with sim-" },
        { "sensors.tankThermometer", River.Station, River.With(sensors: s => s with { TankThermometer = null }), "sensors.tankThermometer: not given." },
        { "floats.highLitres", Piped(v => v, 8.1), Piped(v => v, 8), "more than 8 L" }, // at the pipe, where water stands all night, it would trip
    };

    [Theory]
    [MemberData(nameof(Ends), DisableDiscoveryEnumeration = true)]
    public void What_is_allowed_ends_where_it_is_told_to_end(string key, Case last, Case beyond, string told)
    {
        Assert.DoesNotContain(StationRules.Check(last.Station), problem => problem.Key == key);
        Assert.Contains(told, Assert.Single(StationRules.Check(beyond.Station), problem => problem.Key == key).ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Coefficients_need_be_alike_only_where_they_are_used()
    {
        Assert.Empty(StationRules.Check(Cell(c => c with { AlphaPerKelvin = 0.021 })));
        Assert.Empty(StationRules.Check(River.With(sensors: s => s with
        {
            VesselConductivity = s.VesselConductivity with { Compensation = Compensation.Linear, AlphaPerKelvin = 0.021 },
            TankConductivity = s.TankConductivity! with { Compensation = Compensation.Linear, AlphaPerKelvin = 0.021 },
        })));
    }

    [Fact]
    public void A_problem_reads_as_one_line_with_its_place()
        => Assert.Equal("a.b (line 7): 3. Allowed: 4 to 5 L. Measure it.",
            new Problem("a.b", "3", "4 to 5 L", "Measure it.") { Line = 7 }.ToString());

    [Fact]
    public void A_tank_without_a_probe_and_a_station_with_everything_that_tells_a_volume_have_nothing_wrong()
    {
        Assert.Empty(StationRules.Check(River.With(sensors: s => s with { TankConductivity = null })));
        Assert.Empty(StationRules.Check(River.With(sensors: s => s with { TankConductivity = null, TankThermometer = null })));
        var everything = Scale(c => c with { CountsPerKilogram = -21_500 });
        Assert.Empty(StationRules.Check(everything with { Sensors = everything.Sensors with { DropCounterLine = 16, Level = Level(l => l).Sensors.Level } }));
    }

    private static Station Scale(Func<LoadCellInput, LoadCellInput> change)
        => River.With(sensors: s => s with { LoadCell = change(new LoadCellInput { ClockLine = 24, DataLine = 25, ZeroCounts = 84_000, CountsPerKilogram = 21_500 }) });

    private static Station Level(Func<LevelInput, LevelInput> change)
        => River.With(sensors: s => s with { Level = change(new LevelInput { AdcInput = 2, ZeroVolts = 0.4, MillimetresPerVolt = 312.5, BrokenBelowVolts = 0.36 }) });

    private static Station Piped(Func<Vessel, Vessel> change, double highLitres = 10.8) => River.With(
        v => change(v with { Mode = VesselMode.Standpipe, StandpipeLitres = 8, StandpipeSdLitres = 0.1 }), floats: f => f with { HighLitres = highLitres });

    private static Station Pulses(double mostPerHour) => River.Station with { Pacing = new() { Path = PacePath.Line, OverHours = 8, LeastPulseSeconds = 60, MostPulsesPerHour = mostPerHour } };

    private static Station Low(double litres) => River.With(floats: f => f with { LowLitres = litres, HighLitres = null }, sensors: s => s with { FloatHighLine = null });

    private static Station Sea(Func<Waters, Waters> change) => River.With(waters: change, sensors: s => s with
    {
        VesselConductivity = s.VesselConductivity with { Compensation = Compensation.SeaWater },
        TankConductivity = s.TankConductivity! with { Compensation = Compensation.SeaWater },
    });

    private static Station Cell(Func<ConductivityInput, ConductivityInput> change)
        => River.With(sensors: s => s with { VesselConductivity = change(s.VesselConductivity) });
}
