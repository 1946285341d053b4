using Evenwater.Core.Estimation;
using Evenwater.Core.Scoring;

namespace Evenwater.Nights.Scoring;

/// <summary>Anything that forecasts a night.</summary>
public delegate IReadOnlyList<Call> Forecaster(Night night);

/// <summary>The estimator under test.</summary>
public static class WithEstimator
{
    public static IReadOnlyList<Call> Forecast(Night night)
    {
        var estimator = new Estimator(night.Prior, seed: 1);
        var calls = new List<Call>(2000);
        var seen = 0L;
        var drawn = 0;
        foreach (var row in night.Rows)
        {
            for (; drawn < night.Prior.DrawOffs.Count && night.Prior.DrawOffs[drawn].AtSeconds <= row.Seconds; drawn++)
            {
                estimator.DrawOff(night.Prior.DrawOffs[drawn].Litres, night.Prior.DrawOffs[drawn].RelativeSd);
            }

            estimator.Step(row.Readings, row.ValveOpen, row.At);
            if (estimator.Evaluations != seen)
            {
                seen = estimator.Evaluations;
                calls.Add(new Call(row.Seconds, estimator.Latest.MatchSeconds, estimator.Latest.BrimSeconds));
            }
        }

        return calls;
    }
}
