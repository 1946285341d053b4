using Evenwater.Core.Estimation;

namespace Evenwater.CoreTests.Estimation;

/// <summary>A scale or a level sensor beside a guess that was far off: what Bayes' rule makes of both, integrated on a fine grid, which no linear update is.</summary>
public sealed class VolumeEvidenceTests
{
    [Theory]
    [InlineData(4.42, 0.15, 3.20)] // guessed by eye, a third too much
    [InlineData(2.40, 0.15, 3.20)] // and too little
    [InlineData(3.30, 0.10, 3.20)]
    public void One_block_of_a_scale_puts_a_guess_right_as_Bayes_would(double guessLitres, double relativeSd, double kilograms) =>
        IsAsBayesWould(guessLitres, relativeSd, kilograms, 1, 0.05, Process.MassFloor, Channel.Mass, State.Tare);

    [Theory]
    [InlineData(4.42, 0.15, 80)]
    [InlineData(3.20, 0.10, 80)]
    public void One_block_of_a_level_sensor_too(double guessLitres, double relativeSd, double millimetres) =>
        IsAsBayesWould(guessLitres, relativeSd, millimetres, 25, 3, Process.LevelFloor, Channel.Level, State.LevelOffset);

    private static void IsAsBayesWould(
        double guessLitres, double relativeSd, double measured, double perLitre, double zeroSd, double floor, Channel channel, int zero)
    {
        var sum = new GaussianSum();
        var h = sum.Add();
        for (var i = 0; i < State.Size; i++)
        {
            h.Set(i, 0, 1e-4);
        }

        h.Set(State.LnVolume, Math.Log(guessLitres), relativeSd * relativeSd);
        h.LogWeight = 0;
        var evidence = new VolumeEvidence(channel, zero, perLitre, zeroSd, floor);
        var readings = Readings.None();
        readings[channel] = Reading.Of(measured, default);
        evidence.Add(readings);
        Assert.True(evidence.Apply(sum));

        var (mean, sd) = Bayes(guessLitres, relativeSd, measured / perLitre, Math.Sqrt((zeroSd * zeroSd) + (floor * floor)) / perLitre);
        Assert.Equal(mean, sum[0].Mean[State.LnVolume], 0.2 * sd);
        Assert.InRange(sum[0].Sd(State.LnVolume), 0.93 * sd, 1.07 * sd);
        Assert.Equal(measured - (perLitre * Math.Exp(mean)), sum[0].Mean[zero], 0.3 * zeroSd);
    }

    /// <summary>Mean and standard deviation of ln volume, normal before, after a reading with a normal error; by sums over 20,000 points.</summary>
    private static (double Mean, double Sd) Bayes(double guessLitres, double relativeSd, double readLitres, double errorLitres)
    {
        var (all, first, second) = (0.0, 0.0, 0.0);
        for (var i = -10_000; i <= 10_000; i++)
        {
            var z = i / 1250.0;
            var x = Math.Log(guessLitres) + (relativeSd * z);
            var off = (readLitres - Math.Exp(x)) / errorLitres;
            var weight = Math.Exp(-0.5 * ((z * z) + (off * off)));
            (all, first, second) = (all + weight, first + (weight * x), second + (weight * x * x));
        }

        var mean = first / all;
        return (mean, Math.Sqrt((second / all) - (mean * mean)));
    }
}
