using Evenwater.Core;
using Evenwater.Hardware;

namespace Evenwater.HardwareTests;

/// <summary>The thermometer on real files.</summary>
public sealed class SysfsOneWireTests : IDisposable
{
    private const string Id = "28-0000054b97a5";
    private static readonly MonotonicTime _now = MonotonicTime.FromSeconds(3);
    private readonly DirectoryInfo _root = Directory.CreateTempSubdirectory("evenwater-w1-");

    public void Dispose() => _root.Delete(recursive: true);

    [Fact]
    public void Reads_the_kernels_file_anew_each_time()
    {
        var thermometer = new Thermometer(new SysfsOneWire(_root.FullName), Id);
        Write("91 01 4b 46 7f ff 0f 10 25 : crc=25 YES\n91 01 4b 46 7f ff 0f 10 25 t=25062\n");
        Assert.Equal(RawSample.Of(0x191, _now), thermometer.Read(_now));
        Write("a2 00 4b 46 7f ff 0e 10 e5 : crc=e5 YES\na2 00 4b 46 7f ff 0e 10 e5 t=10125\n");
        Assert.Equal(RawSample.Of(0xA2, _now), thermometer.Read(_now));
    }

    [Fact]
    public void An_unplugged_probe_does_not_answer_and_answers_again_when_it_is_back()
    {
        var thermometer = new Thermometer(new SysfsOneWire(_root.FullName), Id);
        Assert.Equal(RawSample.Missing(Reason.NoAnswer, _now), thermometer.Read(_now));
        Write("91 01 4b 46 7f ff 0f 10 25 : crc=25 YES\n91 01 4b 46 7f ff 0f 10 25 t=25062\n");
        Assert.Equal(Reason.None, thermometer.Read(_now).Reason);
    }

    [Fact]
    public void No_one_wire_at_all_does_not_answer() =>
        Assert.Equal(Reason.NoAnswer, new Thermometer(new SysfsOneWire(Path.Combine(_root.FullName, "nowhere")), Id).Read(_now).Reason);

    private void Write(string text) =>
        File.WriteAllText(Path.Combine(_root.CreateSubdirectory(Id).FullName, "w1_slave"), text);
}
