using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Stations;
using Evenwater.Hardware.Rig;
using Evenwater.Log;
using Evenwater.Options;
using Evenwater.Running;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Running;

/// <summary>The shipped marine station with drop counter, scale and level sensor, from the wires to the cycle and into the log.</summary>
public sealed class LagoonTests : IDisposable
{
    private static readonly DateTimeOffset Evening = new(2026, 1, 10, 20, 0, 0, TimeSpan.Zero);

    private static readonly Station Lagoon = StationFile.Read(Path.Combine(Documents.Repository.Root, "config", "stations", "sim-lagoon.json")).Station!;

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Each_cycle_has_the_drops_since_the_last_and_the_log_has_all_of_them()
    {
        using var log = _folder.Open();
        using var drive = Drive(log);
        drive.Begin();
        var (inflow, drops) = (drive.Rig.InflowLitres, 0.0);
        var last = drive.Loop.State.LastStepAt;
        drive.Go(600, () =>
        {
            if (drive.Now.SecondsSince(MonotonicTime.FromSeconds(Math.Floor(drive.Now.Seconds))) is > 0.25 and < 0.35)
            {
                _ = drive.Loop.Ask(new Asking(Verb.Acknowledge, "test")); // hurries a cycle between two others
            }

            if (drive.Loop.State.LastStepAt != last)
            {
                last = drive.Loop.State.LastStepAt;
                Assert.Equal(last, drive.Loop.State.Readings[Channel.Drops].TakenAt);
                drops += drive.Loop.State.Readings[Channel.Drops].Value;
            }

            return drive.CommitAnd(false);
        });
        var litres = drive.Rig.InflowLitres - inflow;
        Assert.InRange(litres, 0.07, 0.15); // 10 mL/min, and how far off that may be
        Assert.InRange(litres * 1000 / drops, 0.03, 0.07); // a drop of 0.05 mL, and how far off that may be
        log.Flush();
        var logged = log.Reader.ReadRun(1).Where(e => e.Samples is not null).Sum(e => (double)e.Samples!.Value[Channel.Drops].Code);
        Assert.InRange(logged, drops, drops + 40); // the run's first seconds too
    }

    /// <summary>With nothing that tells a volume, a tight valve that had stood closed for sixteen hours was told to leak: hypotheses that leak doubted the evaporation less, and bore their jumps for nothing.</summary>
    [Fact]
    public void A_tight_valve_that_stands_closed_for_a_day_is_not_told_to_leak()
    {
        var bare = Lagoon with { Sensors = Lagoon.Sensors with { DropCounterLine = null, LoadCell = null, Level = null } };
        var verdict = Rehearsal.Run(bare, 1, [], 24, null);
        Assert.True(verdict.ClosedByPlan && verdict.ClosedAt < 8 * 3600, "it has stood closed for sixteen hours");
        Assert.DoesNotContain(verdict.Alarms, a => a.Alarm == AlarmId.FlowWhileClosed);
    }

    [Fact]
    public void Scale_and_level_reach_the_cycle_in_their_units()
    {
        using var log = _folder.Open();
        using var drive = Drive(log);
        drive.Go(10);
        var readings = drive.Loop.State.Readings;
        var litres = drive.Rig.VolumeLitres;
        Assert.Equal(litres * 1.02, readings[Channel.Mass].Value, 0.17); // sea water, kg/L, and three times the zero's spread
        Assert.Equal(litres / 0.038, readings[Channel.Level].Value, 12.0);
    }

    [Fact]
    public void What_the_station_file_says_of_them_is_in_the_prior()
    {
        var prior = RunPrior.Of(
            Lagoon with
            {
                Sensors = Lagoon.Sensors with { LoadCell = Lagoon.Sensors.LoadCell! with { ZeroSdKilograms = 0.07 }, Level = Lagoon.Sensors.Level! with { ZeroSdMillimetres = 4 } },
                Drip = Lagoon.Drip with { DropRelativeSd = 0.06, DropMillilitres = 0.061 },
                Vessel = Lagoon.Vessel with { HeatExchangeWattsPerKelvin = 1.1 },
                Room = new Room { TemperatureCelsius = 24.4 },
            },
            new StartKnown(), Readings.None());
        Assert.Equal((0.038, 0.07, 4.0), (prior.VesselAreaSquareMetres, prior.LoadCellTareSdKilograms, prior.LevelOffsetSdMillimetres));
        Assert.Equal((0.061, 0.06), (prior.DropMillilitres, prior.DropRelativeSd));
        Assert.Equal((1.1, 24.4, 1.0), (prior.HeatExchangeWattsPerKelvin, prior.RoomCelsius, prior.TemperatureToleranceCelsius));
    }

    [Theory]
    [InlineData(53_064.9, 1.02334)] // PSS-78 gives salinity 35 at 25 °C, EOS-80 for that 1023.343 kg/m³ (UNESCO Technical Papers in Marine Science 44)
    [InlineData(300, 0.99705)] // pure water at 25 °C, Kell 1975: 997.048 kg/m³; a little salt adds a ten-thousandth
    public void A_litre_weighs_what_its_water_weighs(double microsiemensPerCm, double kilograms)
    {
        var waters = Lagoon.Waters with
        {
            BagMicrosiemensPerCm = microsiemensPerCm, BagTemperatureCelsius = 25, TankMicrosiemensPerCm = microsiemensPerCm, TankTemperatureCelsius = 25,
        };
        Assert.Equal(kilograms, RunPrior.Of(Lagoon with { Waters = waters }, new StartKnown(), Readings.None()).KilogramsPerLitre, 2e-4);
    }

    [Fact]
    public void A_scale_with_a_good_zero_tells_the_litres_of_sea_water()
    {
        var scaleAlone = Lagoon with
        {
            Sensors = Lagoon.Sensors with { Level = null, DropCounterLine = null, LoadCell = Lagoon.Sensors.LoadCell! with { ZeroSdKilograms = 0.002 } },
        };
        using var log = _folder.Open();
        using var drive = new RigDrive(new SimulatedRig(scaleAlone, 1, []), new StationState(scaleAlone), log, MonotonicTime.FromSeconds(1), Evening.AddSeconds(1));
        drive.Begin();
        drive.Go(300);
        var told = drive.Loop.State.Estimator!.Latest.VolumeLitres;
        Assert.Equal(drive.Rig.VolumeLitres, told.P50, 0.01 * drive.Rig.VolumeLitres); // taken for litres, its kilograms were 1.6 % too many
        Assert.InRange(told.P95 / told.P05, 1, 1.02);
    }

    [Theory]
    [InlineData("drops-blocked@5m")]
    [InlineData("scale-silent@5m")]
    [InlineData("level-broken@5m")]
    public void A_sensor_that_fails_in_a_run_is_told_and_trips_nothing(string fault)
    {
        var verdict = Rehearsal.Run(Lagoon, 1, [RigFault.Parse(fault)], 0.5, null);
        var alarm = Assert.Single(verdict.Story, s => s.What == "alarm: A probe is not believed");
        Assert.InRange(alarm.At, 300, 600);
        Assert.Equal(Core.Safety.Phase.Dripping, verdict.End);
    }

    [Fact] // the count of an unplugged cell flickers, so nothing else gives it away
    public void A_cell_that_is_unplugged_in_sea_water_is_told_within_minutes()
    {
        var verdict = Rehearsal.Run(Lagoon, 1, [RigFault.Parse("open-probe@5m")], 0.2, null);
        Assert.InRange(Assert.Single(verdict.Story, s => s.What == "alarm: A probe is not believed").At, 300, 400);
    }

    private static RigDrive Drive(NightLog log) =>
        new(new SimulatedRig(Lagoon, 1, []), new StationState(Lagoon), log, MonotonicTime.FromSeconds(1), Evening.AddSeconds(1));
}
