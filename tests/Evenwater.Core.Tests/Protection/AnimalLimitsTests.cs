using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Core.Water;

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

    [Theory] // by hand from the publications' own figures, at 1300 µS/cm for each step of salinity
    [InlineData(AnimalGroup.RedDrumFingerlings, 13_000, 13_000)]       // 10 ‰ in an hour, 10 ‰ in all
    [InlineData(AnimalGroup.WhitelegShrimpPostlarvae, 5720, 24_700)]   // 19 % of 23 ‰ an hour, 23 to 4 ‰
    [InlineData(AnimalGroup.MarineInvertebrates, 1300, 3900)]          // 1 an hour, 3 in 12 h
    [InlineData(AnimalGroup.TestOrganisms, 325, 3900)]                 // 3 in 12 h
    public void A_limit_in_salinity_becomes_one_in_conductivity(AnimalGroup group, double perHour, double total)
    {
        var limits = AnimalLimits.Of(group);
        Assert.Equal((perHour, total), (Math.Round(limits.MicrosiemensPerCmPerHour!.Value.Value, 6), Math.Round(limits.TotalMicrosiemensPerCm!.Value.Value, 6)));
    }

    [Fact] // PSS-78 at 25 °C: from 41 to 42 a step is 1309 µS/cm, the least of all
    public void A_limit_in_salinity_is_never_made_too_wide()
    {
        for (var salinity = 2.0; salinity <= 41.9; salinity += 0.1)
        {
            var step = 1000 * (PracticalSalinity.MillisiemensPerCm(salinity + 0.1, 25) - PracticalSalinity.MillisiemensPerCm(salinity, 25)) / 0.1;
            Assert.True(step >= AnimalLimits.MicrosiemensPerCmPerSalinity, $"at {salinity:0.0} a step is {step:0.0} µS/cm");
        }
    }

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
