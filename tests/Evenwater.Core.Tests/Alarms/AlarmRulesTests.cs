using Evenwater.Core.Alarms;

namespace Evenwater.CoreTests.Alarms;

/// <summary>The table keeps its rules, and each rule is seen when it is broken.</summary>
public class AlarmRulesTests
{
    [Fact]
    public void The_table_keeps_every_rule() => Assert.Empty(AlarmRules.Problems(AlarmTable.All));

    public static TheoryData<string, Func<Alarm, Alarm>> Broken => new()
    {
        { "Act = \"\"; allowed: what a person should do", row => row with { Act = "" } },
        { "Act = \" \"", row => row with { Act = " " } },
        { "Consequence = \"\"", row => row with { Consequence = "" } },
        { "Did = \"\"", row => row with { Did = "" } },
        { "Title = \"\"; allowed: words.", row => row with { Title = "" } },
        { "Name = \"high-float\"", row => row with { Name = "high-float" } },
        { "Name = \"\"", row => row with { Name = "" } },
        { "Name = \"Drip Slow\"", row => row with { Name = "Drip Slow" } },
        { $"Id = Leak; allowed: the number of its place, {(int)AlarmId.DripSlow}.", row => row with { Id = AlarmId.Leak } },
        { "ActWithinMinutes = 0", row => row with { ActWithinMinutes = 0 } },
        { "ReAlarmMinutes = 1441", row => row with { ReAlarmMinutes = 1441 } },
        { "Setpoint.Unit = \"\"", row => row with { Setpoint = new(1, "") } },
        { "Setpoint", row => row with { Setpoint = new(double.NaN, "mm") } },
        { "Setpoint", row => row with { Setpoint = new(1, "mm", -1) } },
        { "delays = -1", row => row with { OnDelaySeconds = -1 } },
        { "delays = ", row => row with { OffDelaySeconds = -1 } },
        { "Latches = True", row => row with { Latches = true, SuppressedBy = [] } }, // it may be silenced
        { "Latches = True", row => row with { Latches = true, MayBeSilenced = false } }, // it may be suppressed
        { "IsTest = True", row => row with { IsTest = true } },
        { "IsTest = True", row => row with { IsTest = true, Priority = Priority.Low, Latches = true, MayBeSilenced = false, SuppressedBy = [] } },
        { "SuppressedBy = DripSlow", row => row with { SuppressedBy = [AlarmId.DripSlow] } },
        { "SuppressedBy = OverflowWarning", row => row with { SuppressedBy = [AlarmId.OverflowWarning] } },
    };

    [Theory]
    [MemberData(nameof(Broken))]
    public void A_broken_row_is_told_by_name_property_and_what_is_allowed(string said, Func<Alarm, Alarm> breaks)
    {
        var problems = AlarmRules.Problems([.. AlarmTable.All.Select(row => row.Id == AlarmId.DripSlow ? breaks(row) : row)]);
        Assert.Contains(problems, p => p.Contains(said, StringComparison.Ordinal));
        Assert.All(problems, p => Assert.Matches("^alarm .+: .+ = .+; allowed: .+", p));
    }

    [Fact]
    public void Every_alarm_is_stepped_once_and_after_what_explains_it()
    {
        Assert.Equal(AlarmTable.All.Select(row => row.Id), AlarmTable.Order.Order());
        Assert.All(AlarmTable.All, row => Assert.All(row.SuppressedBy, other => Assert.True(Place(other) < Place(row.Id))));

        static int Place(AlarmId id) => AlarmTable.Order.ToList().IndexOf(id);
    }

    [Fact]
    public void A_flood_a_leak_and_a_valve_that_did_not_close_are_the_latching_ones() =>
        Assert.Equal([AlarmId.HighFloat, AlarmId.Leak, AlarmId.FlowWhileClosed], AlarmTable.All.Where(row => row.Latches).Select(row => row.Id));
}
