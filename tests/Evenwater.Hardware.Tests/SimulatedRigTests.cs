using System.Diagnostics;
using CsCheck;
using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Core.Stations;
using Evenwater.Hardware.Rig;

namespace Evenwater.HardwareTests;

public class SimulatedRigTests
{
    [Fact]
    public void The_valve_is_closed_two_seconds_after_the_last_toggle_wherever_the_line_was_left()
    {
        foreach (var pulses in new[] { 1, 2 }) // left high, left low
        {
            using var night = new RigNight(TestStation.Pail, 1, []);
            night.RunTo(100);
            Assert.True(night.Rig.ValveOpen);
            var last = MonotonicTime.FromSeconds(100.5);
            night.Rig.Advance(last);
            night.Devices.Valve.Renew(last.Plus(3));
            for (var i = 0; i < pulses; i++)
            {
                night.Devices.Valve.Pulse(last);
            }

            // The process is dead from here on.
            night.Rig.Advance(last.Plus(1.9));
            Assert.True(night.Rig.ValveOpen);
            night.Rig.Advance(last.Plus(2.0));
            Assert.False(night.Rig.ValveOpen);
            var before = night.Rig.InflowLitres;
            night.Rig.Advance(last.Plus(2.5)); // the plant moves in steps of half a second
            var after = night.Rig.InflowLitres;
            night.Rig.Advance(last.Plus(3600));
            Assert.InRange(after - before, 0, 15.0 / 60_000);
            Assert.Equal(after, night.Rig.InflowLitres);
        }
    }

    [Fact]
    public void From_a_hung_cycle_to_a_closed_valve_are_at_most_five_seconds() =>
        Gen.Select(Gen.Double[0.0, 3.0], Gen.Int[10, 40]).Sample((lease, pulsesPerSecond) =>
        {
            using var night = new RigNight(TestStation.Pail, 1, []);
            night.RunTo(10);
            night.Devices.Valve.Renew(night.Now.Plus(lease)); // the cycle's last act; the pulse thread lives on
            for (var i = 0; i <= 5 * pulsesPerSecond; i++)
            {
                var now = night.Now.Plus(i / (double)pulsesPerSecond);
                night.Rig.Advance(now);
                night.Devices.Valve.Pulse(now);
            }

            return !night.Rig.ValveOpen;
        }, iter: 200);

    [Fact]
    public void Nothing_opens_before_the_first_toggle()
    {
        using var night = new RigNight(TestStation.Pail, 1, []);
        night.RunTo(600, open: false);
        Assert.False(night.Rig.ValveOpen);
        Assert.Equal(0, night.Rig.InflowLitres);
    }

    /// <summary>Truth to bytes to counts and back to conductivity at 25 °C by the published factor table (ISO 7888, f25 at whole degrees).</summary>
    [Theory]
    [InlineData(5, 1.643)]
    [InlineData(10, 1.428)]
    [InlineData(15, 1.256)]
    [InlineData(20, 1.116)]
    [InlineData(25, 1.000)]
    [InlineData(30, 0.903)]
    [InlineData(35, 0.822)]
    public void Counts_carried_back_by_hand_are_the_plants_truth(double celsius, double f25)
    {
        var waters = TestStation.Exact.Waters with { BagTemperatureCelsius = celsius, TankTemperatureCelsius = celsius };
        using var night = new RigNight(TestStation.Exact with { Waters = waters }, 1, [], ideal: true);
        night.Devices.ReadProbes(night.Now, ref night.Latest);
        Check(Channel.VesselConductivity, 410);
        Check(Channel.TankConductivity, 185);
        Assert.Equal((int)(celsius * 16), night.Latest[Channel.VesselTemperature].Code);
        Assert.Equal((int)(celsius * 16), night.Latest[Channel.TankTemperature].Code);

        void Check(Channel channel, double ec25)
        {
            var probe = night.Rig.GainOf(channel);
            var sample = night.Latest[channel];
            Assert.Equal(Reason.None, sample.Reason);
            var siemens = sample.Code * 62.5e-6 / (1.0 * 2000);
            var oneCount = 62.5e-6 / 2000 * 1e6 * f25;
            Assert.Equal(ec25, siemens * 1e6 * f25 / probe, (0.003 * ec25) + oneCount);
        }
    }

    /// <summary>The whole chain and back by the program's own calibration, at any temperature, cell and front end.</summary>
    [Fact]
    public void The_program_reads_the_plants_truth_at_any_temperature() =>
        Gen.Select(Gen.Double[5.0, 35.0], Gen.Double[60.0, 1000.0], Gen.Double[0.8, 1.2]).Sample((celsius, ec25, cell) =>
        {
            var station = TestStation.Exact with
            {
                Waters = TestStation.Exact.Waters with { BagMicrosiemensPerCm = ec25, BagTemperatureCelsius = celsius },
                Sensors = TestStation.Exact.Sensors with
                {
                    VesselConductivity = new ConductivityInput { AdcInput = 3, FullScaleVolts = 4.096, FeedbackOhms = 2200, CellConstantPerCm = cell },
                },
            };
            using var night = new RigNight(station, 1, [], ideal: true);
            night.Devices.ReadProbes(night.Now, ref night.Latest);
            var readings = Calibrate.Apply(night.Latest, station.Sensors);
            Assert.Equal(celsius, readings[Channel.VesselTemperature].Value, (1.0 / 32) + 1e-9);

            // Half a count of the ADC at 25 °C at worst, and half a count of the thermometer at 3 %/K.
            var halfCount = 0.5 * 125e-6 / 2200 * 1e6 * cell * 1.65;
            var truth = ec25 * night.Rig.GainOf(Channel.VesselConductivity);
            Assert.Equal(truth, readings[Channel.VesselConductivity].Value, (0.03 / 32 * truth) + halfCount);
        }, iter: 300);

    [Fact]
    public void The_same_seed_gives_the_same_night_and_another_seed_another()
    {
        var one = Codes(7, ["siphon-surge@20m", "noisy-probe@10m"]);
        Assert.Equal(one, Codes(7, ["siphon-surge@20m", "noisy-probe@10m"]));
        Assert.NotEqual(one, Codes(8, ["siphon-surge@20m", "noisy-probe@10m"]));

        static List<RawSample> Codes(ulong seed, string[] faults)
        {
            using var night = new RigNight(TestStation.Pail, seed, faults);
            var codes = new List<RawSample>();
            for (var i = 0; i < 1800; i++)
            {
                night.Second(open: true);
                for (var channel = 0; channel < Channels.Count; channel++)
                {
                    codes.Add(night.Latest[channel]);
                }
            }

            return codes;
        }
    }

    [Fact]
    public void Reading_more_often_does_not_change_the_night()
    {
        using var seldom = new RigNight(TestStation.Pail, 3, []);
        using var often = new RigNight(TestStation.Pail, 3, []);
        for (var i = 0; i < 900; i++)
        {
            seldom.Second(open: true);
            often.Second(open: true);
            often.Devices.ReadProbes(often.Now, ref often.Latest);
            often.Devices.ReadProbes(often.Now, ref often.Latest);
        }

        Assert.Equal(seldom.Rig.VolumeLitres, often.Rig.VolumeLitres);
        Assert.Equal(seldom.Latest[Channel.VesselConductivity], often.Latest[Channel.VesselConductivity]);
    }

    [Fact]
    public void Other_threads_may_read_and_pulse_while_the_rig_advances()
    {
        using var night = new RigNight(TestStation.Pail, 1, []);
        using var stop = new CancellationTokenSource();
        var probes = RawSamples.None();
        var (reads, pulses) = (0, 0);
        var reader = new Thread(() =>
        {
            for (var i = 0; !stop.IsCancellationRequested; i++)
            {
                night.Devices.ReadProbes(new MonotonicTime(i), ref probes);
                Interlocked.Increment(ref reads);
                Thread.Yield();
            }
        });
        var pulser = new Thread(() =>
        {
            while (!stop.IsCancellationRequested)
            {
                night.Devices.Valve.Renew(new MonotonicTime(1));
                night.Devices.Valve.Pulse(default);
                Interlocked.Increment(ref pulses);
                Thread.Yield();
            }
        });
        reader.Start();
        pulser.Start();

        // At least a thousand seconds, and on until both others have had their turn, which a busy machine may keep them waiting for.
        var begun = Stopwatch.GetTimestamp();
        for (var second = 1; second < 1000 || ((Volatile.Read(ref reads) < 10 || Volatile.Read(ref pulses) < 10) && Stopwatch.GetElapsedTime(begun).TotalSeconds < 20); second++)
        {
            night.Rig.Advance(MonotonicTime.FromSeconds(second));
        }

        stop.Cancel();
        reader.Join();
        pulser.Join();
        Assert.True(reads >= 10 && pulses >= 10, $"{reads} reads, {pulses} pulses");
        Assert.Equal(Reason.None, probes[Channel.VesselConductivity].Reason);
        Assert.True(double.IsFinite(night.Rig.VolumeLitres));
    }

    [Fact]
    public void Over_many_seeds_the_start_volume_and_the_gains_spread_as_the_station_says()
    {
        double volumes = 0, ratios = 0;
        const int n = 400;
        for (ulong seed = 1; seed <= n; seed++)
        {
            var rig = new SimulatedRig(TestStation.Pail, seed, []);
            volumes += Math.Pow((rig.VolumeLitres - 1.6) / 0.032, 2);
            ratios += Math.Pow(((rig.GainOf(Channel.VesselConductivity) / rig.GainOf(Channel.TankConductivity)) - 1) / 0.003, 2);
        }

        Assert.InRange(volumes / n, 0.75, 1.25); // chi-squared over 400: sd 0.07
        Assert.InRange(ratios / n, 0.75, 1.25);
    }

    [Fact]
    public void The_thermometers_take_turns_after_the_first_reading()
    {
        using var night = new RigNight(TestStation.Pail, 1, []);
        night.Devices.ReadProbes(At(1), ref night.Latest);
        Assert.Equal((At(1), At(1)), Taken());
        night.Devices.ReadProbes(At(2), ref night.Latest);
        Assert.Equal((At(2), At(1)), Taken());
        night.Devices.ReadProbes(At(3), ref night.Latest);
        Assert.Equal((At(2), At(3)), Taken());
        night.Devices.ReadProbes(At(4), ref night.Latest);
        Assert.Equal((At(4), At(3)), Taken());

        (MonotonicTime Vessel, MonotonicTime Tank) Taken() =>
            (night.Latest[Channel.VesselTemperature].TakenAt, night.Latest[Channel.TankTemperature].TakenAt);

        static MonotonicTime At(double seconds) => MonotonicTime.FromSeconds(seconds);
    }

    [Fact]
    public void What_is_not_fitted_stays_not_fitted()
    {
        var sensors = TestStation.Pail.Sensors with { TankConductivity = null, TankThermometer = null, FloatLowLine = null, LeakLine = null };
        using var night = new RigNight(TestStation.Pail with { Sensors = sensors }, 1, []);
        night.RunTo(5);
        foreach (var channel in new[] { Channel.TankConductivity, Channel.TankTemperature, Channel.FloatLow, Channel.Leak, Channel.Drops, Channel.Mass, Channel.Level })
        {
            Assert.Equal(Reason.NotFitted, night.Latest[channel].Reason);
        }

        Assert.Equal(night.Now, night.Latest[Channel.VesselConductivity].TakenAt);
        Assert.Equal(night.Now, night.Latest[Channel.VesselTemperature].TakenAt);
        Assert.Equal(night.Now, night.Latest[Channel.FloatHigh].TakenAt);
    }

    [Theory]
    [InlineData(true, "sensors.valveLine 99")]
    [InlineData(false, "sensors.leakLine 99")]
    public void A_line_that_the_chip_does_not_have_is_refused_by_its_key(bool valve, string expected)
    {
        var sensors = valve ? TestStation.Pail.Sensors with { ValveLine = 99 } : TestStation.Pail.Sensors with { LeakLine = 99 };
        var failure = Assert.Throws<Hardware.GpioChipException>(() => Hardware.StationDevices.OnRig(sensors, new SimulatedRig(TestStation.Pail, 1, [])));
        Assert.StartsWith(expected, failure.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Water_that_follows_a_straight_line_is_measured_so()
    {
        var linear = TestStation.Exact.Sensors.VesselConductivity with { Compensation = Compensation.Linear, AlphaPerKelvin = 0.02 };
        var station = TestStation.Exact with
        {
            Waters = TestStation.Exact.Waters with { BagTemperatureCelsius = 20 },
            Sensors = TestStation.Exact.Sensors with { VesselConductivity = linear },
        };
        using var night = new RigNight(station, 1, [], ideal: true);
        night.Devices.ReadProbes(night.Now, ref night.Latest);
        var siemens = night.Rig.GainOf(Channel.VesselConductivity) * 410e-6 * 0.9; // 5 K below 25 °C at 2 %/K
        Assert.Equal(siemens * 2000 / 62.5e-6, night.Latest[Channel.VesselConductivity].Code, 1.0);
    }

    [Theory]
    [InlineData(80_000, 24)] // twice as salt as the sea, where PSS-78 ends at 42
    [InlineData(53_000, 38)] // and at 35 °C
    public void Sea_water_off_its_scale_is_no_reading_and_the_night_goes_on(double bag, double celsius)
    {
        var sea = new ConductivityInput { AdcInput = 0, CellConstantPerCm = 10, FeedbackOhms = 100, Compensation = Compensation.SeaWater };
        var station = TestStation.Pail with
        {
            Waters = TestStation.Pail.Waters with { BagMicrosiemensPerCm = bag, TankMicrosiemensPerCm = bag, BagTemperatureCelsius = celsius, TankTemperatureCelsius = celsius },
            Sensors = TestStation.Pail.Sensors with { VesselConductivity = sea, TankConductivity = sea with { AdcInput = 1 } },
        };
        using var night = new RigNight(station, 1, []);
        night.RunTo(5);
        Assert.Equal(Reason.OutOfRange, Calibrate.Apply(night.Latest, station.Sensors)[Channel.VesselConductivity].Reason);
    }

    [Fact]
    public void A_program_that_restarts_on_the_same_night_reads_on()
    {
        using var night = new RigNight(TestStation.Pail, 1, []);
        night.RunTo(100);
        night.Devices.Dispose();
        using var again = StationDevicesOn(night.Rig);
        var latest = RawSamples.None();
        night.Rig.Advance(MonotonicTime.FromSeconds(160));
        again.ReadProbes(MonotonicTime.FromSeconds(160), ref latest);
        Assert.Equal(Reason.None, latest[Channel.VesselConductivity].Reason);
        Assert.False(night.Rig.ValveOpen);

        static Hardware.StationDevices StationDevicesOn(SimulatedRig rig) => Hardware.StationDevices.OnRig(TestStation.Pail.Sensors, rig);
    }
}
