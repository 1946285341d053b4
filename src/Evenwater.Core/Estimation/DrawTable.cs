using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using Lanes = System.Runtime.Intrinsics.Vector256<float>;

namespace Evenwater.Core.Estimation;

/// <summary>
/// The standard normal draws behind every forecast of a run, made once from the seed. Using the same draws each time keeps the
/// forecast from flickering; a Latin hypercube (McKay, Beckman and Conover 1979) makes few of them cover each axis evenly.
/// </summary>
internal sealed class DrawTable
{
    /// <summary>Paths of a forecast.</summary>
    public const int Paths = 96;

    /// <summary>Column of the brim's position.</summary>
    public const int Brim = State.Future;

    /// <summary>Column of the standpipe's position.</summary>
    public const int Standpipe = State.Future + 1;

    /// <summary>Column of the time to the flow's next jump, s of open valve.</summary>
    public const int JumpSeconds = State.Future + 2;

    /// <summary>Column of the factor it jumps by.</summary>
    public const int JumpFactor = State.Future + 3;

    /// <summary>Column of the tank's own change.</summary>
    public const int TankChange = State.Future + 4;

    /// <summary>First column of the flow's walk: its value at each node of <see cref="NodeSeconds"/>, in units of one per square root hour.</summary>
    public const int Walk = State.Future + 5;

    /// <summary>How many columns there are.</summary>
    public const int Columns = Walk + Nodes;

    private const int Nodes = 36;
    private readonly float[] _values = new float[Columns * Paths];

    public DrawTable(ulong seed)
    {
        var generator = new Generator(seed);
        Span<int> order = stackalloc int[Paths];
        for (var column = 0; column < Columns; column++)
        {
            for (var i = 0; i < Paths; i++)
            {
                var j = generator.NextIndex(i + 1);
                order[i] = order[j];
                order[j] = i;
            }

            for (var i = 0; i < Paths; i++)
            {
                _values[(column * Paths) + i] = (float)Normal.Inverse((order[i] + 0.5) / Paths);
            }
        }

        Accumulate();
        for (var i = 0; i < Paths; i++)
        {
            MakeJump(ref _values[(JumpSeconds * Paths) + i], ref _values[(JumpFactor * Paths) + i]);
        }
    }

    /// <summary>Node times of the walk, s: 0, then a quarter longer each time, to beyond 48 h.</summary>
    public static double NodeSeconds(int node) => 4 * Process.BlockSeconds * (Math.Pow(1.25, node) - 1);

    /// <summary>Where <paramref name="seconds"/> lies between the nodes.</summary>
    public static (int Node, double Part) Place(double seconds)
    {
        var node = Math.Clamp((int)Math.Floor(Math.Log((seconds / (4 * Process.BlockSeconds)) + 1) / Math.Log(1.25)), 0, Nodes - 2);
        return (node, Math.Clamp((seconds - NodeSeconds(node)) / (NodeSeconds(node + 1) - NodeSeconds(node)), 0, 1));
    }

    /// <summary>Every path's draw of one kind.</summary>
    public Span<float> Column(int column) => _values.AsSpan(column * Paths, Paths);

    /// <summary>The draws of one kind of the paths from <paramref name="first"/> on.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public Lanes At(int column, int first) => Vector256.Create(Column(column)[first..]);

    /// <summary>The walk of the flow at the end of a step, in units of one per square root hour. Tied to time and not to the step of a forecast, so that a grid
    /// broken elsewhere, or a moment later, follows the same paths.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public Lanes WalkAt(in GridStep step, int first)
    {
        var before = At(Walk + step.Node, first);
        return before + (step.Part * (At(Walk + step.Node + 1, first) - before));
    }

    /// <summary>From two normal draws: the waiting time is exponential; the rank of the other chooses the kind, its place within the kind the strength.</summary>
    private static void MakeJump(ref float time, ref float size)
    {
        const double rate = Process.FutureSurgesPerHour + Process.FutureBlocksPerHour;
        const double surges = Process.FutureSurgesPerHour / rate;
        time = (float)(-Math.Log(Normal.Cumulative(time)) * 3600 / rate);
        var rank = Normal.Cumulative(size);
        var isSurge = rank < surges;
        var strength = Normal.Inverse(Math.Clamp(isSurge ? rank / surges : (rank - surges) / (1 - surges), 1e-6, 1 - 1e-6));
        size = (float)Math.Exp(isSurge ? Process.SurgeMean + (Process.SurgeSd * strength) : Process.BlockMean + (Process.BlockSd * strength));
    }

    private void Accumulate()
    {
        Column(Walk).Clear();
        for (var node = 1; node < Nodes; node++)
        {
            var root = (float)Math.Sqrt((NodeSeconds(node) - NodeSeconds(node - 1)) / 3600);
            var before = Column(Walk + node - 1);
            var walk = Column(Walk + node);
            for (var i = 0; i < Paths; i++)
            {
                walk[i] = before[i] + (walk[i] * root);
            }
        }
    }
}
