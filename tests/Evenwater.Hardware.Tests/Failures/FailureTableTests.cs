using System.Text.RegularExpressions;
using Evenwater.Hardware.Rig;
using Evenwater.HardwareTests.Circuit;

namespace Evenwater.HardwareTests.Failures;

/// <summary>hardware/fmea.csv promises nothing that no test has seen.</summary>
public class FailureTableTests
{
    private static readonly IReadOnlyList<Failure> Table = Failure.ReadAll();

    [Fact]
    public void Every_row_names_two_layers_and_tests_that_exist() => Assert.Empty(Table.SelectMany(row => row.Problems(TestNames.All)));

    [Fact]
    public void Every_part_of_the_valves_circuit_has_a_row()
    {
        var told = string.Join('\n', Table.Select(row => row.Part));
        Assert.All(
            Netlist.Read("valve.cir").Parts.Select(part => part.Name.TrimStart('X')),
            part => Assert.Matches($@"\b{Regex.Escape(part)}\b", told));
    }

    [Fact]
    public void Every_fault_of_the_rig_is_rehearsed_for_a_row()
    {
        var rehearsed = Table.SelectMany(row => row.RehearsedWords).ToHashSet();
        Assert.All(RigFault.Names, name => Assert.Contains(name, rehearsed));
    }

    [Fact]
    public void Probes_floats_buses_process_disk_power_clock_network_and_keeper_have_rows() => Assert.All(
        new[] { "conductivity probe", "thermometer", "high float", "low float", "leak sensor", "I2C bus", "1-wire bus", "computer's bus or pins", "GPIO line", "process", "kernel", "disk", "power", "clock", "network", "keeper" },
        part => Assert.Contains(Table, row => row.Part.Contains(part, StringComparison.Ordinal)));

    [Fact]
    public void No_row_stands_twice() => Assert.Equal(Table.Count, Table.Select(row => (row.Part, row.What)).Distinct().Count());

    [Fact]
    public void The_readme_counts_the_rows_of_each_claim()
    {
        var readme = HardwareFolder.Text("README.md");
        Assert.All(
            new[] { Failure.InProgram, Failure.InCircuit, Failure.NeverBuilt },
            claim => Assert.Contains($"| {claim} | {Table.Count(row => row.Claim == claim)} |", readme, StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("x,f,e,d,program,float,simulated in the program's tests,leak-wet,No.Such.Test", "no test No.Such.Test")]
    [InlineData("x,f,e,d,program,moat,never built,leak-wet,", "no layer \"moat\"")]
    [InlineData("x,f,e,d,float,float,never built,leak-wet,", "the second layer is the first")]
    [InlineData("x,f,e,d,driver,program,never built,leak-wet,", "not two layers")]
    [InlineData("x,f,e,d,program,float,simulated in the program's tests,leak-wet,", "with 0 tests")]
    [InlineData("x,f,e,d,program,float,simulated in the program's tests,leak-wet,Evenwater.HardwareTests.Circuit.SpreadTests.The_programs_own_pulses_are_those_that_are_simulated", "1 of them of the circuit")]
    [InlineData("x,f,e,d,program,float,surely,leak-wet,", "\"surely\"")]
    [InlineData("x,f,,d,program,float,never built,leak-wet,", "an empty field")]
    [InlineData("x,f,e,d,program,float,never built,,", "neither rehearsed nor")]
    [InlineData("x,f,e,d,program,float,never built,not: ,", "neither rehearsed nor")]
    [InlineData("x,f,e,d,program,float,never built,leak-wet or mice,", "no fault mice")]
    public void A_bad_row_is_red(string row, string said) =>
        Assert.Contains(
            Failure.Parse($"part,failure,effect,detected by,first layer,second layer,claim,rehearsed as,tests\n{row}\n").SelectMany(bad => bad.Problems(TestNames.All)),
            problem => problem.Contains(said, StringComparison.Ordinal));
}
