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
        "drop_mL_nominal":0.06,"drop_rel_sd":0.13},"truth":{"V0_L":99}}
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
