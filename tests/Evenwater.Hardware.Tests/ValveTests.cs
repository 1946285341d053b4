using System.Device.Gpio;
using CsCheck;
using Evenwater.Core;
using Evenwater.Hardware;
using Evenwater.Hardware.Rig;

namespace Evenwater.HardwareTests;

public class ValveTests
{
    private const int Line = 23;

    [Fact]
    public void Starts_low()
    {
        var line = new Recorder();
        using var valve = line.Valve();
        Assert.False(line.High);
        valve.Pulse(At(1));
        Assert.False(line.High);
        Assert.Equal(0, line.Toggles);
    }

    [Fact]
    public void Twenty_pulses_a_second_make_a_square_wave_of_ten_hertz()
    {
        var line = new Recorder();
        using var valve = line.Valve();
        for (var i = 0; i < 200; i++)
        {
            valve.Renew(At(i * 0.05).Plus(3));
            valve.Pulse(At(i * 0.05));
            Assert.Equal(i % 2 == 0, line.High);
        }

        Assert.Equal(200, line.Toggles);
    }

    [Fact]
    public void Closing_drives_low_at_once_and_no_pulse_raises_it_again()
    {
        var line = new Recorder();
        using var valve = line.Valve();
        valve.Renew(At(3));
        valve.Pulse(At(0));
        Assert.True(line.High);
        valve.Close();
        Assert.False(line.High);
        valve.Pulse(At(0.05));
        Assert.False(line.High);
    }

    [Fact]
    public void Disposing_leaves_the_line_low()
    {
        var line = new Recorder();
        using (var valve = line.Valve())
        {
            valve.Renew(At(3));
            valve.Pulse(At(0));
        }

        Assert.False(line.High);
    }

    /// <summary>Any order of renewals, closings, hangs and pulses. Model: the line may rise only while now is before the end of a live lease.</summary>
    [Fact]
    public void Never_rises_after_the_lease_has_ended_and_no_lease_outlives_three_seconds()
    {
        var act = Gen.Select(Gen.Int[0, 9], Gen.Double[0.0, 1.5], Gen.Double[-1.0, 20.0]);
        act.Array[1, 200].Sample(acts =>
        {
            var line = new Recorder();
            using var valve = line.Valve();
            double now = 0, renewedUntil = double.NegativeInfinity, firstSeen = double.PositiveInfinity;
            foreach (var (what, wait, lease) in acts)
            {
                now += wait;
                switch (what)
                {
                    case 0:
                        valve.Close();
                        renewedUntil = double.NegativeInfinity;
                        Assert.False(line.High);
                        break;
                    case <= 3:
                        valve.Renew(At(now + lease));
                        renewedUntil = now + lease;
                        firstSeen = double.PositiveInfinity;
                        break;
                    default:
                        firstSeen = Math.Min(firstSeen, now);
                        valve.Pulse(At(now));
                        Assert.True(!line.High || (now < renewedUntil && now < firstSeen + Hardware.Valve.LongestLeaseSeconds + 1e-6));
                        break;
                }
            }
        });
    }

    [Fact]
    public void A_hung_cycle_leaves_the_line_quiet_and_low_within_three_seconds()
    {
        var line = new Recorder();
        using var valve = line.Valve();
        valve.Renew(At(1e6)); // the cycle asked for far too long, then hung
        for (var i = 0; i <= 400; i++)
        {
            valve.Pulse(At(i * 0.05));
            if (i == 60)
            {
                line.Toggles = 0; // 3 s after the first pulse
            }
        }

        Assert.Equal(0, line.Toggles);
        Assert.False(line.High);
    }

    [Fact]
    public void For_a_proof_test_the_line_stands_still_and_high_while_the_lease_goes_on_and_then_toggles_again()
    {
        var line = new Recorder();
        using var valve = line.Valve();
        valve.Renew(At(3));
        valve.Pulse(At(0)); // high
        valve.Pulse(At(0.05)); // low: standing still begins by going high, or it would prove only that low closes
        valve.StandStill(At(10), At(0.1));
        line.Toggles = 0;
        for (var i = 2; i < 200; i++)
        {
            valve.Renew(At(i * 0.05).Plus(3));
            valve.Pulse(At(i * 0.05));
            Assert.True(line.High);
        }

        Assert.Equal(0, line.Toggles);
        valve.Pulse(At(10));
        valve.Pulse(At(10.05));
        Assert.Equal(2, line.Toggles);
    }

    [Fact]
    public void Standing_still_outlives_neither_a_close_nor_the_lease_and_opens_nothing()
    {
        var line = new Recorder();
        using var valve = line.Valve();
        valve.StandStill(At(10), At(0));
        Assert.False(line.High); // no lease

        valve.Renew(At(3));
        valve.Pulse(At(0));
        valve.StandStill(At(10), At(0.1));
        valve.Pulse(At(2.9));
        Assert.True(line.High);
        valve.Pulse(At(3));
        Assert.False(line.High); // nobody renewed it

        valve.Renew(At(8));
        valve.StandStill(At(20), At(6));
        valve.Close();
        Assert.False(line.High);
        valve.Renew(At(11));
        valve.Pulse(At(8));
        Assert.True(line.High);
        valve.Pulse(At(8.05));
        Assert.False(line.High); // toggles: what stood still is over
    }

    private static MonotonicTime At(double seconds) => MonotonicTime.FromSeconds(seconds);

    private sealed class Recorder
    {
        public bool High { get; private set; }

        public int Toggles { get; set; }

        public Valve Valve() => new(new GpioController(new FakeGpioDriver(_ => true, Write)), Line);

        private void Write(int line, bool high)
        {
            Assert.Equal(Line, line);
            Toggles += high == High ? 0 : 1;
            High = high;
        }
    }
}
