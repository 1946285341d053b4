namespace Evenwater.Core.Estimation;

/// <summary>
/// The standard normal draws behind every forecast of a run, made once from the seed. Using the same draws each time keeps the
/// forecast from flickering; a Latin hypercube (McKay, Beckman and Conover 1979) makes few of them cover each axis evenly.
/// </summary>
internal sealed class DrawTable
{
    /// <summary>Paths of a forecast.</summary>
    public const int Paths = 256;

    /// <summary>Column of the brim's position.</summary>
    public const int Brim = State.Size;

    /// <summary>Column of the standpipe's position.</summary>
    public const int Standpipe = State.Size + 1;

    /// <summary>Column of the time to the flow's next jump.</summary>
    public const int JumpTime = State.Size + 2;

    /// <summary>Column of its size.</summary>
    public const int JumpSize = State.Size + 3;

    /// <summary>Column of the tank's own change.</summary>
    public const int TankChange = State.Size + 4;

    /// <summary>First column of the flow's walk.</summary>
    public const int Walk = State.Size + 5;

    /// <summary>Columns of the walk; later steps use them again.</summary>
    public const int WalkSteps = 40;

    private const int Columns = Walk + WalkSteps;
    private readonly double[] _values = new double[Paths * Columns];

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
                _values[(i * Columns) + column] = Normal.Inverse((order[i] + 0.5) / Paths);
            }
        }
    }

    /// <summary>The draws of one path.</summary>
    public ReadOnlySpan<double> Path(int path) => _values.AsSpan(path * Columns, Columns);
}
