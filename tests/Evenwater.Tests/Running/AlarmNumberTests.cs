using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;

namespace Evenwater.Tests.Running;

/// <summary>Trips, alarms and priorities are told apart by number in several places: the numbers must mean the same in all of them.</summary>
public class AlarmNumberTests
{
    [Fact]
    public void Every_alarm_stands_at_its_number_and_there_is_room_for_all()
    {
        var numbers = Enum.GetValues<AlarmId>().Where(id => id != AlarmId.None).ToList();
        Assert.Equal(numbers, AlarmTable.All.Select(a => a.Id));
        Assert.All(numbers, id => Assert.Equal(id, AlarmTable.Of(id).Id));
        Assert.Equal(AlarmTable.Places, AlarmTable.All.Count + 1);
        Assert.Equal(AlarmTable.All.Count, AlarmTable.All.Select(a => a.Name).Distinct().Count());
    }

    [Fact]
    public void Every_trip_has_the_alarm_of_its_name() =>
        Assert.All(Enum.GetValues<Trip>(), trip => Assert.Equal($"{trip}", $"{(AlarmId)(byte)trip}"));

    [Fact]
    public void Every_alarm_has_something_to_do_and_a_time_to_do_it_in() =>
        Assert.All(AlarmTable.All, a => Assert.True(a.Act.Length > 10 && a.Did.Length > 10 && a.ActWithinMinutes is > 0 and <= 1440, a.Name));
}
