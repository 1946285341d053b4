using System.Text.Json;
using Evenwater.Core.Alarms;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Tests.Log;
using MQTTnet;

namespace Evenwater.Tests.Followers;

/// <summary>What an alarm says over MQTT, for every row of the table.</summary>
public sealed class MqttAlarmRowTests
{
    public static TheoryData<AlarmId> Rows => [.. AlarmTable.All.Select(row => row.Id)];

    [Theory]
    [MemberData(nameof(Rows))]
    public void Every_alarm_says_what_happened_what_was_done_what_to_do_and_by_when_though_no_clock_is_set(AlarmId id)
    {
        var row = AlarmTable.Of(id);
        var sentence = AlarmSentence.Of(row, new AlarmState { Standing = AlarmStanding.Unacknowledged });
        using var folder = new LogFolder();
        using var log = folder.Open();
        var night = new Night(log) { HasWall = false };
        night.Add(EntryKind.Alarm, new AlarmBody(row.Name, AlarmStanding.Unacknowledged, row.Priority, row.Title, sentence.Did, sentence.Act));
        log.Flush();
        var messages = new MqttMessages("sim-river", "log").Of(log.Reader.Read(0, 1)[0], LogFolder.Station(), superseded: false).ToList();
        Assert.Equal(["alarm/" + row.Name, "event"], messages.Select(m => m.Topic["evenwater/v1/sim-river/".Length..]));
        Assert.Equal([0u, 604_800u], messages.Select(m => m.MessageExpiryInterval)); // 7 days of 86,400 s; what is retained stays.
        foreach (var message in messages)
        {
            using var json = JsonDocument.Parse(message.ConvertPayloadToString());
            var said = message.Topic.EndsWith("/event", StringComparison.Ordinal) ? json.RootElement.GetProperty("data") : json.RootElement;
            Assert.False(said.TryGetProperty("byWhen", out _));
            Assert.All(["title", "did", "do", "howSoon"], key => Assert.False(string.IsNullOrWhiteSpace(said.GetProperty(key).GetString()), key));

            // The words of the priority's own description.
            var expected = said.GetProperty("priority").GetString() switch { "critical" => "now", "high" => "within minutes", "medium" => "within the hour", "low" => "today", _ => null };
            Assert.Equal(expected, said.GetProperty("howSoon").GetString());
        }
    }

    [Fact]
    public void Every_standing_has_its_words_and_only_one_that_waits_for_a_person_hurries_anybody()
    {
        AlarmStanding[] hurried = [AlarmStanding.Unacknowledged, AlarmStanding.Acknowledged, AlarmStanding.LatchedUnacknowledged, AlarmStanding.LatchedAcknowledged];
        Assert.Equal(hurried, Enum.GetValues<AlarmStanding>().Where(standing => ActBy.Words(Priority.Critical, standing) == "now"));
        Assert.All(Enum.GetValues<AlarmStanding>(), standing => Assert.Equal(
            AlarmSentence.Of(AlarmTable.Of(AlarmId.Leak), new AlarmState { Standing = standing }).WithinMinutes is not null, hurried.Contains(standing)));
    }
}
