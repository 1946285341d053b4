using Evenwater.Core.Safety;
using Evenwater.Core.Stations;

namespace Evenwater.CoreTests.Protection;

public class AnimalLimitsTests
{
    public static TheoryData<AnimalGroup> Groups => [.. Enum.GetValues<AnimalGroup>()];

    [Theory]
    [MemberData(nameof(Groups))]
    public void Each_group_has_a_limit_of_rate_and_of_step_each_with_its_source_and_within_what_a_file_may_say(AnimalGroup group)
    {
        var limits = AnimalLimits.Of(group);
        var all = new[] { limits.MicrosiemensPerCmPerHour, limits.TotalMicrosiemensPerCm, limits.CelsiusPerHour, limits.TotalCelsius, limits.TotalPh };
        Assert.All(all, limit => Assert.True(limit is { Value: > 0, Source.Length: > 10 }, $"{limit}"));
        Assert.Empty(StationRules.Check(Stations.River.Station with
        {
            Limits = new()
            {
                Group = group, MicrosiemensPerCmPerHour = all[0]!.Value.Value, TotalMicrosiemensPerCm = all[1]!.Value.Value,
                CelsiusPerHour = all[2]!.Value.Value, TotalCelsius = all[3]!.Value.Value, TotalPh = all[4]!.Value.Value,
            },
        }));
    }

    [Theory] // by hand from the publications' own figures, at 1320 µS/cm for each step of salinity
    [InlineData(AnimalGroup.RedDrumFingerlings, 13_200, 13_200)]       // 10 ‰ in an hour, 10 ‰ in all
    [InlineData(AnimalGroup.WhitelegShrimpPostlarvae, 5808, 25_080)]   // 19 % of 23 ‰ an hour, 23 to 4 ‰
    [InlineData(AnimalGroup.MarineInvertebrates, 1320, 3960)]          // 1 an hour, 3 in 12 h
    [InlineData(AnimalGroup.TestOrganisms, 330, 3960)]                 // 3 in 12 h
    public void A_limit_in_salinity_becomes_one_in_conductivity(AnimalGroup group, double perHour, double total)
    {
        var limits = AnimalLimits.Of(group);
        Assert.Equal((perHour, total), (Math.Round(limits.MicrosiemensPerCmPerHour!.Value.Value, 6), Math.Round(limits.TotalMicrosiemensPerCm!.Value.Value, 6)));
    }

    [Theory] // PSS-78 at 25 °C, µS/cm: a step of salinity is never less than what the limit takes it for
    [InlineData(2, 3796.7, 10, 17_024.3)]
    [InlineData(30, 46_253.2, 33, 50_363.2)]
    [InlineData(35, 53_071.0, 37, 55_754.1)]
    [InlineData(37, 55_754.1, 42, 62_358.1)]
    public void A_limit_in_salinity_is_never_made_too_wide(double from, double fromMicrosiemens, double to, double toMicrosiemens) =>
        Assert.True((toMicrosiemens - fromMicrosiemens) / (to - from) >= AnimalLimits.MicrosiemensPerCmPerSalinity);

    [Fact]
    public void The_stations_own_keys_come_first_and_without_a_group_there_is_no_other_limit()
    {
        var own = AnimalLimits.Of(new Limits { Group = AnimalGroup.Catfish, TotalCelsius = 1.5 });
        Assert.Equal((1.5, "the station file"), (own.TotalCelsius!.Value.Value, own.TotalCelsius.Value.Source));
        Assert.Equal(2, own.CelsiusPerHour!.Value.Value);
        var none = AnimalLimits.Of(new Limits { CelsiusPerHour = 2.5 });
        Assert.Null(none.TotalCelsius);
        Assert.Null(none.MicrosiemensPerCmPerHour);
    }
}
