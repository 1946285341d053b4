using Evenwater.Core.Estimation;
using Evenwater.Hardware.Trace;

namespace Evenwater.HardwareTests.Trace;

public sealed class TracePriorTests
{
    private const string Full = """
        {"prior":{"mode":"standpipe","V0_guess_L":2.85,"V0_rel_sd":0.0985,"Vmax_nominal_L":14.5,"Vmax_rel_sd":0.016,"freeboard_L":1.65,
        "standpipe_L":6.37,"standpipe_rel_sd":0.03,"q_guess_mLmin":null,"q_guess_rel_sd":0.11,"float_low_L":null,"float_high_L":12.4,
        "float_sd_L":0.14,"bucket_area_m2":0.047,"gain_ratio_rel_sd":0.02,"tol_uScm":26.4,"quantisation_uScm":1,"valve_fails":"stays",
        "valve_commands":[{"t_s":100,"open":0},{"t_s":200,"open":1}],"discards":[{"t_s":300,"L":1.5,"rel_sd":0.1}],
        "drop_mL_nominal":0.06,"drop_rel_sd":0.13,"mass_tare_sd_kg":0.07,"level_offset_sd_mm":4,"tank_guess_uScm":300,"tank_guess_rel_sd":0.03,
        "room_temp_C":22.5},"truth":{"V0_L":99}}
        """;

    [Fact]
    public void Every_key_arrives()
    {
        var prior = Read(Full);
        var expected = new Prior
        {
            Mode = VesselMode.Standpipe,
            StartVolumeLitres = 2.85,
            StartVolumeRelativeSd = 0.0985,
            BrimLitres = 14.5,
            BrimRelativeSd = 0.016,
            FreeboardLitres = 1.65,
            StandpipeLitres = 6.37,
            StandpipeRelativeSd = 0.03,
            FlowRelativeSd = 0.11,
            FloatHighLitres = 12.4,
            FloatSdLitres = 0.14,
            VesselAreaSquareMetres = 0.047,
            GainRatioRelativeSd = 0.02,
            ToleranceMicrosiemensPerCm = 26.4,
            QuantisationMicrosiemensPerCm = 1,
            ValveClosesOnPowerLoss = false,
            DropMillilitres = 0.06,
            DropRelativeSd = 0.13,
            LoadCellTareSdKilograms = 0.07,
            LevelOffsetSdMillimetres = 4,
            TankMicrosiemensPerCm = 300,
            TankRelativeSd = 0.03,
            RoomCelsius = 22.5,
            ValveCommands = prior.ValveCommands,
            DrawOffs = prior.DrawOffs,
        };
        Assert.Equal(expected, prior);
        Assert.Equal([new(100, false), new(200, true)], prior.ValveCommands);
        Assert.Equal([new(300, 1.5, 0.1)], prior.DrawOffs);
    }

    [Theory]
    [InlineData("[]", "prior")]
    [InlineData("{}", "prior")]
    [InlineData("{\"prior\":{}}", "prior.V0_guess_L")]
    [InlineData("{\"prior\":{\"V0_guess_L\":\"two\"}}", "prior.V0_guess_L")]
    [InlineData("{\"prior\":{\"V0_guess_L\":0}}", "prior.V0_guess_L")]
    [InlineData("{\"prior\":{\"mode\":\"sieve\"}}", "prior.mode")]
    [InlineData("{\"prior\":{\"V0_guess_L\":2,\"Vmax_nominal_L\":9,\"tol_uScm\":5,\"valve_commands\":[{\"t_s\":1}]}}", "prior.valve_commands[0].open")]
    [InlineData("{\"prior\":{", "not JSON")]
    public void What_is_wrong_is_named(string json, string named) =>
        Assert.Contains(named, Assert.Throws<InvalidDataException>(() => Read(json)).Message, StringComparison.Ordinal);

    [Theory]
    [InlineData("\"V0_guess_L\":-2", "prior.V0_guess_L: -2 is not allowed; allowed is more than 0 to 10000")]
    [InlineData("\"V0_guess_L\":9.5", "prior.Vmax_nominal_L: 9 is not allowed; allowed is more than 9.5 to 10000")]
    [InlineData("\"V0_rel_sd\":-0.1", "prior.V0_rel_sd: -0.1 is not allowed; allowed is 0 to 2")]
    [InlineData("\"Vmax_rel_sd\":1e9", "prior.Vmax_rel_sd: 1e9 is not allowed; allowed is 0 to 2")]
    [InlineData("\"freeboard_L\":9.1", "prior.freeboard_L: 9.1 is not allowed; allowed is 0 to 9")]
    [InlineData("\"mode\":\"standpipe\"", "prior.standpipe_L is missing; allowed is more than 0 to 9")]
    [InlineData("\"mode\":\"standpipe\",\"standpipe_L\":12", "prior.standpipe_L: 12 is not allowed; allowed is more than 0 to 9")]
    [InlineData("\"q_guess_mLmin\":0", "prior.q_guess_mLmin: 0 is not allowed; allowed is more than 0 to 10000")]
    [InlineData("\"tol_uScm\":0", "prior.tol_uScm: 0 is not allowed")]
    [InlineData("\"gain_ratio_rel_sd\":true", "prior.gain_ratio_rel_sd: true is not a number; allowed is 0 to 2")]
    [InlineData("\"float_high_L\":-1", "prior.float_high_L: -1 is not allowed")]
    [InlineData("\"valve_commands\":[{\"t_s\":1,\"open\":7}]", "prior.valve_commands[0].open: 7 is not allowed; allowed is 0 to 1")]
    [InlineData("\"discards\":[{\"t_s\":1,\"L\":-2}]", "prior.discards[0].L: -2 is not allowed; allowed is 0 to 9")]
    [InlineData("\"discards\":[{\"t_s\":1,\"taken_mL\":9100}]", "prior.discards[0].taken_mL: 9100 is not allowed; allowed is 0 to 9000")]
    [InlineData("\"discards\":[{\"L\":2}]", "prior.discards[0].t_s is missing")]
    [InlineData("\"discards\":[{\"t_s\":5}]", "prior.discards[0].L is missing")]
    [InlineData("\"discards\":3", "prior.discards: 3 is not a list")]
    public void What_can_not_be_is_refused_by_key_value_and_range(string change, string told)
    {
        // The last of two equal keys counts, so a case may overwrite what stands before it.
        var json = $"{{\"prior\":{{\"V0_guess_L\":2,\"Vmax_nominal_L\":9,\"tol_uScm\":5,{change}}}}}";
        Assert.Contains(told, Assert.Throws<InvalidDataException>(() => Read(json)).Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("\"t_s\":300,\"L\":1.5", 1.5, 0.05)]
    [InlineData("\"t_s\":300,\"V_L\":1.5,\"V_rel_sd\":0.1", 1.5, 0.1)]
    [InlineData("\"t_s\":300,\"volume_L\":1.5,\"rel_sd\":0.1", 1.5, 0.1)]
    [InlineData("\"t_s\":300,\"litres\":1.5", 1.5, 0.05)]
    [InlineData("\"t_s\":300,\"discard_L\":1.5", 1.5, 0.05)]
    [InlineData("\"rel_sd\":0.02,\"dV_L\":1.5,\"t_s\":300", 1.5, 0.02)]
    [InlineData("\"t_s\":300,\"taken_mL\":1500", 1.5, 0.05)]
    [InlineData("\"rel_sd\":0.02,\"t_s\":300,\"scooped\":1.5", 1.5, 0.02)]
    public void A_draw_off_may_name_its_amount_in_several_ways(string entry, double litres, double relativeSd) =>
        Assert.Equal(
            [new DrawOff(300, litres, relativeSd)],
            Read($"{{\"prior\":{{\"V0_guess_L\":2,\"Vmax_nominal_L\":9,\"tol_uScm\":5,\"mode\":\"drawn by hand\",\"discards\":[{{{entry}}}]}}}}").DrawOffs);

    [Fact]
    public void Draw_offs_come_by_time_and_one_of_nothing_is_none() =>
        Assert.Equal(
            [new DrawOff(100, 2, 0.05), new DrawOff(300, 1, 0.05)],
            Read("{\"prior\":{\"V0_guess_L\":2,\"Vmax_nominal_L\":9,\"tol_uScm\":5,\"discards\":[{\"t_s\":300,\"L\":1},{\"t_s\":200,\"L\":0},{\"t_s\":100,\"L\":2}]}}").DrawOffs);

    private static Prior Read(string json)
    {
        var path = Path.GetTempFileName();
        try
        {
            File.WriteAllText(path, json);
            return TracePrior.Read(path);
        }
        finally
        {
            File.Delete(path);
        }
    }
}
