using Evenwater.Hardware.Rig;

namespace Evenwater.Nights.Faults;

/// <summary>A short campaign for every build: each fault of the table once, in nights that go four times as fast. `tests/faults` is the long one.</summary>
public sealed class SingleFaultTests(ITestOutputHelper output)
{
    private const double Pace = 4;
    private const ulong FirstSeed = 70_000; // of no other campaign

    [Fact]
    public void No_single_fault_puts_water_over_the_rim()
    {
        var rows = FaultRow.ReadAll().Where(row => row.Script is not null).DistinctBy(row => row.RehearsedAs).ToArray();
        var wanted = rows.SelectMany(row => Enumerable.Range(0, row.Script!.Alternatives).Select(turn => (Row: row, Turn: turn))).ToArray();
        var nights = new FaultNight[wanted.Length];
        Parallel.For(0, wanted.Length, i =>
            nights[i] = FaultNight.Run(wanted[i].Row.Name, wanted[i].Row.Script, Setting.All, FirstSeed + (ulong)i, wanted[i].Turn, Pace));
        output.WriteLine($"{nights.Length} nights, seeds {FirstSeed} to {FirstSeed + (ulong)nights.Length - 1}");
        Assert.True(nights.Length > 40);
        Assert.Equal("", string.Join('\n', nights.Where(n => n.OverRim || n.OnFloor || n.Seen.WetOpenings + n.Seen.WetResets + n.Seen.Resumed > 0)));
        Assert.All(nights, n => Assert.True(n.Verdict.LitresMost > n.Station.Vessel.StartVolumeLitres, n.ToString()));

        // The claims about wet openings and resumed runs mean nothing unless somebody asked.
        Assert.True(nights.Count(n => n.Seen.Asked > 0) > 15, $"asked after trips in {nights.Count(n => n.Seen.Asked > 0)} nights");
    }

    [Theory]
    [InlineData(Layers.Program | Layers.Valve, Layers.Program, "")]
    [InlineData(Layers.Program | Layers.Valve, Layers.Valve, "")]
    [InlineData(Layers.Program | Layers.Valve | Layers.Driver, Layers.Driver, "process-stops@20m")]
    [InlineData(Layers.Program | Layers.Valve | Layers.Float, Layers.Float, "pulses-on@20m")]
    [InlineData(Layers.Program | Layers.Valve | Layers.Intake, Layers.Intake, "valve-stuck-open@20m")]
    public void Each_layer_alone_holds_what_floods_without_it(Layers layers, Layers last, string fault)
    {
        var script = fault.Length == 0 ? null : FaultScript.Parse(fault);
        var (with, without) = (Run(layers), Run(layers & ~last));
        Assert.False(with.OverRim, with.ToString());
        Assert.True(without.OverRim, without.ToString());

        FaultNight Run(Layers some) => FaultNight.Run(fault, script, new Setting(some.ToString(), some), FirstSeed, 0, Pace);
    }

    [Fact]
    public void What_goes_over_the_rim_stays_in_the_catch_while_it_has_room_and_is_on_the_floor_without_one()
    {
        var script = FaultScript.Parse("valve-stuck-open@0s");
        var held = FaultNight.Run("held", script, Setting.Without("intake"), FirstSeed, 0, 1);
        var lost = FaultNight.Run("lost", script, new Setting("neither", Layers.All & ~(Layers.Intake | Layers.Catch)), FirstSeed, 0, 1);
        Assert.Equal((true, false), (held.OverRim, held.OnFloor));
        Assert.Equal((true, true), (lost.OverRim, lost.OnFloor));
    }

    [Theory]
    [InlineData("", "neither rehearsed nor")]
    [InlineData("mice", "there is no fault \"mice\"")]
    [InlineData("leak-wet@3h-2h", "ends before it begins")]
    [InlineData("leak-wet@noon", "is not a time")]
    public void A_row_that_says_nothing_or_nonsense_is_red(string rehearsedAs, string said)
    {
        var failure = Assert.Throws<FormatException>(() => FaultRow.Parse(
            ["part,failure,first layer,second layer,claim,rehearsed as", $"x,f,program,float,never built,{rehearsedAs}"]));
        Assert.Contains("line 2", failure.Message, StringComparison.Ordinal);
        Assert.Contains(said, failure.Message, StringComparison.Ordinal);
    }
}
