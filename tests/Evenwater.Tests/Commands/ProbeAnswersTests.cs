using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Stations;
using Evenwater.Hardware;
using Evenwater.Hardware.Rig;
using Evenwater.Options;
using Evenwater.Tests.Documents;

namespace Evenwater.Tests.Commands;

/// <summary>What 'check' says of each probe: its value, and never "ok" to an answer that is none.</summary>
public class ProbeAnswersTests
{
    private static readonly MonotonicTime Now = MonotonicTime.FromSeconds(3);

    private static readonly Station Lagoon = StationFile.Read(Path.Combine(Repository.Root, "config", "stations", "sim-lagoon.json")).Station!;

    [Fact]
    public void A_sound_station_tells_values_with_their_units()
    {
        var told = ProbeAnswers.Of(Lagoon, Looked(), Now).ToDictionary(found => found.What, found => found);
        Assert.Equal(FittedChannels.Of(Lagoon).Count, told.Count);
        Assert.All(told.Values, found => Assert.True(found.Good, found.Text));
        Assert.Matches(@"^4[567]\d\d\d(\.\d+)? µS/cm at 25 °C, raw \d+$", told["sim-lagoon, vessel conductivity"].Text); // the bag's 46000
        Assert.Matches(@"^2[34](\.\d+)? °C, raw \d+$", told["sim-lagoon, vessel temperature"].Text);
        Assert.Equal("dry", told["sim-lagoon, leak sensor"].Text);
        Assert.Equal("0, raw 0", told["sim-lagoon, drops"].Text);
    }

    [Theory]
    [InlineData(Channel.Leak, 1, false, "wet, or its wire is cut")]
    [InlineData(Channel.FloatHigh, 1, false, "wet, or its wire is cut")]
    [InlineData(Channel.FloatLow, 1, null, "wet, or its wire is cut")]
    [InlineData(Channel.VesselConductivity, 0, false, "out of range, raw 0")] // dry, or its wire is open
    [InlineData(Channel.Level, 10, false, "out of range, raw 10")] // 0.6 mV of a loop that never gives less than 0.36 V
    public void An_answer_that_is_none_is_not_good(Channel channel, int code, bool? good, string text)
    {
        var raw = Looked();
        raw[channel] = RawSample.Of(code, Now);
        var found = Assert.Single(ProbeAnswers.Of(Lagoon, raw, Now), answer => answer.Good != true);
        Assert.Equal(good, found.Good);
        Assert.StartsWith(text, found.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void What_does_not_answer_says_where_to_look()
    {
        var raw = Looked();
        raw[Channel.Mass] = RawSample.Missing(Reason.NoAnswer, Now);
        Assert.StartsWith("no answer: see that it is plugged in", Assert.Single(ProbeAnswers.Of(Lagoon, raw, Now), answer => answer.Good == false).Text, StringComparison.Ordinal);
    }

    /// <summary>Its own probe had been told to be without an answer, and to be looked at.</summary>
    [Fact]
    public void Of_a_conductivity_whose_thermometer_is_silent_the_thermometer_is_what_is_mended()
    {
        var raw = Looked();
        raw[Channel.TankTemperature] = RawSample.Missing(Reason.NoAnswer, Now);
        var bad = ProbeAnswers.Of(Lagoon, raw, Now).Where(answer => answer.Good == false).ToDictionary(found => found.What, found => found.Text);
        Assert.Equal(2, bad.Count);
        Assert.StartsWith("no answer: see that it is plugged in", bad["sim-lagoon, tank temperature"], StringComparison.Ordinal);
        Assert.StartsWith("none at 25 °C while tank temperature has none", bad["sim-lagoon, tank conductivity"], StringComparison.Ordinal);
    }

    /// <summary>Of a probe that is stuck, has jumped or is too old a word was told, and nothing to do.</summary>
    [Fact]
    public void Every_reason_says_what_to_do()
    {
        foreach (var reason in Enum.GetValues<Reason>().Where(reason => reason is not (Reason.None or Reason.NotFitted)))
        {
            var readings = Evenwater.Core.Calibration.Calibrate.Apply(Looked(), Lagoon.Sensors);
            readings[Channel.VesselTemperature] = Reading.Missing(reason, Now);
            var text = ProbeAnswers.Wrong(Lagoon, readings).Single(found => found.What == "sim-lagoon, vessel temperature").Text;
            Assert.Matches(@": .*(see|look|stir)", text);
        }
    }

    private static RawSamples Looked()
    {
        var rig = new SimulatedRig(Lagoon, 1, []);
        using var devices = StationDevices.OnRig(Lagoon.Sensors, rig);
        var raw = RawSamples.None();
        for (var second = 1; second <= (int)Now.Seconds; second++)
        {
            rig.Advance(MonotonicTime.FromSeconds(second));
            devices.ReadProbes(MonotonicTime.FromSeconds(second), ref raw);
        }

        devices.PollSwitches(Now, ref raw);
        raw[Channel.Drops] = devices.TakeDrops(Now);
        return raw;
    }
}
