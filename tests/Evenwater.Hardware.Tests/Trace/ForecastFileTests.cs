using Evenwater.Core;
using Evenwater.Core.Estimation;
using Evenwater.Hardware.Trace;

namespace Evenwater.HardwareTests.Trace;

public sealed class ForecastFileTests
{
    private static readonly Forecast Forecast = new()
    {
        VolumeLitres = new Quantiles(1.5, 1.75, 2, 2.25, 2.5),
        FlowMillilitresPerMinute = new Quantiles(10, 12, 15, 17, 20),
        MatchSeconds = new Quantiles(0, 0, 600.04, 7200, 172_801),
        BrimSeconds = new Quantiles(100, 200, 300, 172_800, Quantiles.Beyond),
        BrimProbabilityTenMinutes = 0.0123456,
        Health = Health.Degraded,
        TankReason = Reason.NoAnswer,
        Events = ForecastEvents.FlowUp | ForecastEvents.ProbeTank,
    };

    [Fact]
    public void A_row_has_every_column_with_reached_as_0_and_beyond_48_hours_as_empty()
    {
        var text = new StringWriter();
        new ForecastFile(text).Write(30, Forecast, valveOpen: false, "high float, wet");
        var lines = text.ToString().Split('\n');
        Assert.Equal(
            "t_s,volume_p05_L,volume_p50_L,volume_p95_L,flow_p05_mLmin,flow_p50_mLmin,flow_p95_mLmin,match_p05_s,match_p25_s,match_p50_s,match_p75_s,"
            + "match_p95_s,brim_p05_s,brim_p25_s,brim_p50_s,brim_p75_s,brim_p95_s,p_brim_600s,valve,trip,health,events",
            lines[0]);
        Assert.Equal(
            "30,1.5,2,2.5,10,15,20,0,0,600,7200,,100,200,300,172800,,0.012346,closed,high float; wet,degraded tank no-answer,flow-up|probe-tank",
            lines[1]);
        Assert.Equal(lines[0].Count(c => c == ','), lines[1].Count(c => c == ','));
        Assert.Equal("", lines[2]);
    }

    [Fact]
    public void A_quiet_row_is_open_ok_and_without_events()
    {
        var text = new StringWriter();
        new ForecastFile(text).Write(0.5, new Forecast { MatchSeconds = Quantiles.Never, BrimSeconds = Quantiles.Never }, valveOpen: true, null);
        Assert.EndsWith(",,,,,,,,,,,0,open,,ok,\n", text.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void The_probability_of_the_column_is_that_of_600_seconds_whatever_the_station_trips_by()
    {
        var text = new StringWriter();
        new ForecastFile(text).Write(30, Forecast with { BrimProbability = 0.5 }, valveOpen: true, null);
        Assert.Contains(",0.012346,open,", text.ToString(), StringComparison.Ordinal);
    }
}
