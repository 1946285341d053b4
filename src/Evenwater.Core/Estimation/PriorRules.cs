namespace Evenwater.Core.Estimation;

/// <summary>What the estimator can start from at all. Whether a station is sensible is judged elsewhere, with advice.</summary>
internal static class PriorRules
{
    public static void Check(Prior prior)
    {
        Positive(prior.StartVolumeLitres, nameof(prior.StartVolumeLitres));
        Positive(prior.BrimLitres, nameof(prior.BrimLitres));
        Positive(prior.ToleranceMicrosiemensPerCm, nameof(prior.ToleranceMicrosiemensPerCm));
        Positive(prior.FlowMillilitresPerMinute ?? 1, nameof(prior.FlowMillilitresPerMinute));
        Positive(prior.StandpipeLitres ?? 1, nameof(prior.StandpipeLitres));
        Share(prior.ReplacedFraction, nameof(prior.ReplacedFraction));
        NotNegative(prior.FreeboardLitres, nameof(prior.FreeboardLitres));
        NotNegative(prior.StartVolumeRelativeSd, nameof(prior.StartVolumeRelativeSd));
        NotNegative(prior.BrimRelativeSd, nameof(prior.BrimRelativeSd));
        NotNegative(prior.StandpipeRelativeSd, nameof(prior.StandpipeRelativeSd));
        NotNegative(prior.FlowRelativeSd, nameof(prior.FlowRelativeSd));
        NotNegative(prior.FloatSdLitres, nameof(prior.FloatSdLitres));
        NotNegative(prior.GainRatioRelativeSd, nameof(prior.GainRatioRelativeSd));
        NotNegative(prior.QuantisationMicrosiemensPerCm, nameof(prior.QuantisationMicrosiemensPerCm));
        NotNegative(prior.LeaksAfterClosedSeconds, nameof(prior.LeaksAfterClosedSeconds));
        NotNegative(prior.EvaporationMillilitresPerHour, nameof(prior.EvaporationMillilitresPerHour));
        if (prior.Mode == VesselMode.Standpipe && prior.StandpipeLitres is null)
        {
            throw new ArgumentException("a standpipe needs its volume", nameof(prior));
        }
    }

    private static void Positive(double value, string name)
    {
        if (!(value > 0) || !double.IsFinite(value))
        {
            throw new ArgumentOutOfRangeException(name, value, "more than 0 and finite");
        }
    }

    private static void Share(double value, string name)
    {
        if (!(value is > 0 and < 1))
        {
            throw new ArgumentOutOfRangeException(name, value, "more than 0 and less than 1");
        }
    }

    private static void NotNegative(double value, string name)
    {
        if (!(value >= 0) || !double.IsFinite(value))
        {
            throw new ArgumentOutOfRangeException(name, value, "0 or more and finite");
        }
    }
}
