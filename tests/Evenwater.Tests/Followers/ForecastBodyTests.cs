using Evenwater.Core.Estimation;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Followers;

/// <summary>What is kept and told of a forecast beside its first numbers.</summary>
public sealed class ForecastBodyTests
{
    private static readonly Forecast Forecast = new()
    {
        MatchSeconds = new(1, 2, 3, 4, 5),
        BrimSeconds = Quantiles.Never,
        TemperatureMatchSeconds = new(10, 20, 30, 40, 50),
        JointMatchSeconds = new(11, 22, 33, 44, double.PositiveInfinity),
        SettlingCelsius = new(21, 22, 22.5, 23, 24),
        ReplacedFraction = new(0.5, 0.55, 0.6, 0.65, 0.7),
        Events = ForecastEvents.FlowUp | ForecastEvents.TankChange,
    };

    [Fact]
    public void Temperature_joint_match_replaced_share_and_what_was_recognised_are_kept()
    {
        var kept = LogJson.Read<ForecastBody>(LogJson.Write(ForecastBody.Of(Forecast)));
        Assert.Equal((30.0, 11.0, 33.0, null), (kept.TemperatureMatchP50Seconds, kept.JointMatchP05Seconds, kept.JointMatchP50Seconds, kept.JointMatchP95Seconds));
        Assert.Equal((22.5, 0.5, 0.6, 0.7), (kept.SettlingP50Celsius, kept.ReplacedP05, kept.ReplacedP50, kept.ReplacedP95));
        Assert.Equal("flow-up|tank-change", kept.Recognised);
    }

    /// <summary>Of waters that conduct alike it was told, over MQTT and to the database, that they match for sure from the first minute.</summary>
    [Fact]
    public void Waters_that_conduct_alike_match_when_their_share_is_replaced()
    {
        var alike = Forecast with { MatchSeconds = new(0, 0, 0, 0, 0), MatchedProbability = 1, JudgedByReplacedFraction = true, ReplacedSeconds = new(12, 24, 36, 48, 60), ReplacedProbability = 0.1 };
        var kept = ForecastBody.Of(alike);
        Assert.Equal((12.0, 36.0, 60.0, 0.1), (kept.MatchP05Seconds, kept.MatchP50Seconds, kept.MatchP95Seconds, kept.MatchedProbability));
        Assert.Equal((12.0, 36.0), (kept.JointMatchP05Seconds, kept.JointMatchP50Seconds)); // no sooner than the share
        var without = ForecastBody.Of(alike with { JudgedByReplacedFraction = false });
        Assert.Equal((0.0, 33.0, 1.0), (without.MatchP50Seconds, without.JointMatchP50Seconds, without.MatchedProbability));
    }

    [Fact]
    public void They_are_fields_of_the_point_and_what_is_not_known_is_none()
    {
        using var folder = new LogFolder();
        using var log = folder.Open();
        var night = new Night(log);
        var line = Line(night, Forecast);
        Assert.Contains("temperature_match_p50_s=30,", line, StringComparison.Ordinal);
        Assert.Contains("joint_match_p50_s=33,", line, StringComparison.Ordinal);
        Assert.Contains("settling_p50_celsius=22.5,", line, StringComparison.Ordinal);
        Assert.Contains("replaced_p50=0.6,", line, StringComparison.Ordinal);
        Assert.Contains("recognised=\"flow-up|tank-change\"", line, StringComparison.Ordinal);
        Assert.DoesNotContain("joint_match_p95_s", line, StringComparison.Ordinal);

        var blind = Line(night, Forecast with { TemperatureMatchSeconds = null, JointMatchSeconds = null, SettlingCelsius = null, Events = ForecastEvents.None });
        Assert.DoesNotMatch("temperature|joint|settling|recognised", blind);
    }

    private static string Line(Night night, in Forecast forecast) =>
        InfluxPoints.Of(night.Make(EntryKind.Forecast, LogJson.Write(ForecastBody.Of(forecast))), Evenwater.Commands.DemoStation.Read()).ToLineProtocol();
}
