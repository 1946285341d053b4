using System.Reflection;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Core.Telling;

namespace Evenwater.CoreTests.Protection;

/// <summary>A copy of a state is the same in everything, in what is added to it one day as well.</summary>
public sealed class StateCopyTests
{
    /// <summary>Compared by hand below, or the copy's own.</summary>
    private static readonly string[] s_apart = ["<Station>k__BackingField", "<Readings>k__BackingField", "<Estimator>k__BackingField", "Screen", "Alarms"];

    [Fact]
    public void Nothing_is_left_out()
    {
        var station = TestStation.Make();
        var run = new CycleWorld(station) { TankMicrosiemensPerCm = 185 };
        run.Seconds(700);
        run.HighWet = true;
        run.Seconds(5);
        var (from, to, fresh) = (run.State, new StationState(station), new StationState(station));
        var fields = typeof(StationState).GetFields(BindingFlags.Instance | BindingFlags.Public | BindingFlags.NonPublic).Where(field => !field.IsInitOnly && !s_apart.Contains(field.Name)).ToList();
        foreach (var field in fields)
        {
            if (Other(field.FieldType) is { } other) field.SetValue(from, other);
        }

        from.CopyTo(to);
        Assert.InRange(fields.Count, 25, 100);
        Assert.All(fields.Where(field => field.Name != "Pacer"), field => Assert.NotEqual(field.GetValue(fresh), field.GetValue(from))); // else nothing would be seen of it
        Assert.All(fields, field => Assert.Equal(field.GetValue(from), field.GetValue(to)));
        Assert.All(Enum.GetValues<Channel>(), channel => Assert.Equal(from.Readings[channel], to.Readings[channel]));
        Assert.All(Enum.GetValues<AlarmId>(), alarm => Assert.Equal(from.AlarmOf(alarm), to.AlarmOf(alarm)));
        Assert.Equal(Bytes(ref from.Screen), Bytes(ref to.Screen));
        Assert.NotEqual(Bytes(ref fresh.Screen), Bytes(ref to.Screen));
        Assert.Equal(from.ConductivityRate.FromStart, to.ConductivityRate.FromStart);
        Assert.Equal(from.TemperatureRate.FromStart, to.TemperatureRate.FromStart);
        Assert.NotNull(to.TemperatureRate.FromStart);
        Assert.NotSame(from.Estimator, to.Estimator);
        Assert.Equal(from.Estimator!.Latest, to.Estimator!.Latest);
    }

    private static byte[] Bytes<T>(ref T value) where T : struct => MemoryMarshal.CreateReadOnlySpan(ref Unsafe.As<T, byte>(ref value), Unsafe.SizeOf<T>()).ToArray();

    /// <summary>A value that a fresh state does not have; null for what a run has filled.</summary>
    private static object? Other(Type type) => type switch
    {
        _ when type == typeof(double) => 1.5,
        _ when type == typeof(int) => 3,
        _ when type == typeof(long) => 4L,
        _ when type == typeof(bool) => true,
        _ when type == typeof(MonotonicTime) => MonotonicTime.FromSeconds(77),
        _ when type == typeof(Noticed) => Seen(),
        { IsEnum: true } => Enum.GetValues(type).GetValue(2),
        _ => null,
    };

    private static Noticed Seen()
    {
        var noticed = default(Noticed);
        noticed.Note(new Forecast { Events = ForecastEvents.FlowUp });
        return noticed;
    }
}
