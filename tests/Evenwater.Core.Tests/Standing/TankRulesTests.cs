using Evenwater.Core.Stations;
using Evenwater.CoreTests.Stations;

namespace Evenwater.CoreTests.Standing;

public class TankRulesTests
{
    private static string[] Wrong(Tank tank, params RoutineTask[] routine) =>
        [.. StationRules.Check(River.Station with { Tank = tank, Routine = routine }).Select(problem => $"{problem.Key}: {problem.Value}. Allowed: {problem.Allowed}")];

    [Fact]
    public void Limits_in_order_and_a_routine_are_accepted() => Assert.Empty(Wrong(
        new() { MinMicrosiemensPerCm = 150, MaxMicrosiemensPerCm = 250, MinCelsius = 21, MaxCelsius = 26, Covered = true },
        new RoutineTask { Kind = Chore.WaterChange, DueEveryDays = 7 }, new RoutineTask { Kind = Chore.Dose, DueEveryDays = 0.25, About = "iron" }));

    [Fact]
    public void A_limit_that_can_not_be_is_refused_by_path()
    {
        Assert.Equal(["tank.minMicrosiemensPerCm: -1. Allowed: 0 to 100000 µS/cm"], Wrong(new() { MinMicrosiemensPerCm = -1 }));
        Assert.Equal(["tank.maxMicrosiemensPerCm: 100001. Allowed: 0 to 100000 µS/cm"], Wrong(new() { MaxMicrosiemensPerCm = 100_001 }));
        Assert.Equal(["tank.minCelsius: -3. Allowed: -2 to 45 °C"], Wrong(new() { MinCelsius = -3 }));
        Assert.Equal(["tank.maxCelsius: NaN. Allowed: -2 to 45 °C"], Wrong(new() { MaxCelsius = double.NaN }));
        Assert.Equal(["tank.maxCelsius: 20. Allowed: more than tank.minCelsius, 25 °C"], Wrong(new() { MinCelsius = 25, MaxCelsius = 20 }));
    }

    [Fact]
    public void A_task_that_can_not_be_is_refused_by_its_place()
    {
        Assert.Equal(["routine[1].dueEveryDays: 0. Allowed: 0.25 to 400 days"], Wrong(new(), new RoutineTask { Kind = Chore.Feed, DueEveryDays = 1 }, new RoutineTask { Kind = Chore.Feed, DueEveryDays = 0 }));
        Assert.Equal(["routine[0].about: \" \". Allowed: 1 to 60 plain characters"], Wrong(new(), new RoutineTask { Kind = Chore.Dose, DueEveryDays = 1, About = " " }));
        Assert.Equal("routine[0].about", Assert.Single(Wrong(new(), new RoutineTask { Kind = Chore.Dose, DueEveryDays = 1, About = "iron\tred" })).Split(':')[0]); // it is shown in a terminal
        Assert.Empty(Wrong(new(), [.. Enumerable.Repeat(new RoutineTask { Kind = Chore.Feed, DueEveryDays = 1 }, 40)]));
        Assert.Equal(["routine: 41. Allowed: at most 40 tasks"], Wrong(new(), [.. Enumerable.Repeat(new RoutineTask { Kind = Chore.Feed, DueEveryDays = 1 }, 41)]));
    }
}
