using Evenwater.Core.Mixing;

namespace Evenwater.CoreTests.Mixing;

public class IntegratorTests
{
    [Fact]
    public void A_full_turn_of_an_oscillator_comes_back()
    {
        double[] state = [1, 0];
        Integrator.Run((_, y, rates) => { rates[0] = y[1]; rates[1] = -y[0]; }, state, 0, 2 * Math.PI);
        Assert.Equal(1, state[0], 9);
        Assert.Equal(0, state[1], 9);
    }

    [Fact]
    public void A_looser_tolerance_takes_fewer_steps()
    {
        static int Steps(double tolerance)
        {
            double[] state = [1];
            return Integrator.Run((t, y, rates) => rates[0] = y[0] * Math.Cos(t), state, 0, 20, tolerance, tolerance);
        }

        Assert.True(Steps(1e-4) < Steps(1e-10));
    }

    [Fact]
    public void Rates_that_are_not_finite_are_refused_instead_of_going_round_for_ever()
    {
        double[] state = [1];
        Assert.Throws<ArgumentException>(() => Integrator.Run((_, _, rates) => rates[0] = double.NaN, state, 0, 1));
    }

    [Fact]
    public void Time_does_not_run_backwards()
    {
        double[] state = [1];
        Assert.Throws<ArgumentOutOfRangeException>(() => Integrator.Run((_, _, rates) => rates[0] = 0, state, 1, 0));
    }
}
