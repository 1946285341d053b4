using System.Runtime.Intrinsics;
using Lanes = System.Runtime.Intrinsics.Vector256<float>;

namespace Evenwater.Core.Estimation;

/// <summary>Runs the estimate forward along sampled paths and reads the quantiles off them.</summary>
internal sealed class Forward
{
    private readonly Prior _prior;
    private readonly ValvePlan _plan;
    private readonly DrawTable _draws;
    private readonly PathStarts _starts;
    private readonly TimeGrid _grid = new();
    private readonly float[] _volume = new float[DrawTable.Paths];
    private readonly float[] _flow = new float[DrawTable.Paths];
    private readonly float[] _share = new float[DrawTable.Paths];
    private readonly float[] _replaced = new float[DrawTable.Paths];
    private readonly float[] _match = new float[DrawTable.Paths];
    private readonly float[] _brim = new float[DrawTable.Paths];
    private readonly float[] _even = new float[DrawTable.Paths];
    private readonly float[] _joint = new float[DrawTable.Paths];
    private readonly float[] _settles = new float[DrawTable.Paths];

    public Forward(Prior prior, ValvePlan plan, DrawTable draws)
    {
        _prior = prior;
        _plan = plan;
        _draws = draws;
        _starts = new PathStarts(draws);
    }

    /// <summary>Quantiles of the future of <paramref name="view"/>.</summary>
    /// <param name="view">The estimate.</param>
    /// <param name="now">Seconds into the run.</param>
    /// <param name="replaced">The share of the vessel's water that is wanted to be the tank's; null where nobody goes by it.</param>
    /// <param name="tankCelsius">The tank's temperature; null when the warmth is not followed.</param>
    public Forecast Look(GaussianSum view, double now, double? replaced, double? tankCelsius)
    {
        _grid.Lay(_plan, now);
        _starts.Draw(view);
        for (var first = 0; first < DrawTable.Paths; first += Lanes.Count)
        {
            Follow(first, 1 - replaced, tankCelsius);
        }

        var forecast = new Forecast
        {
            ReplacedFraction = Sorted.Quantiles<float>(_share),
            ReplacedSeconds = replaced is null ? null : Sorted.Quantiles<float>(_replaced),
            VolumeLitres = Sorted.Quantiles<float>(_volume),
            FlowMillilitresPerMinute = Sorted.Quantiles<float>(_flow),
            MatchSeconds = Sorted.Quantiles<float>(_match),
            BrimSeconds = Sorted.Quantiles<float>(_brim),
        };
        return tankCelsius is null ? forecast : forecast with
        {
            TemperatureMatchSeconds = Sorted.Quantiles<float>(_even),
            JointMatchSeconds = Sorted.Quantiles<float>(_joint),
            SettlingCelsius = Sorted.Quantiles<float>(_settles),
        };
    }

    private void Follow(int first, double? kept, double? tankCelsius)
    {
        var flow = _starts.MillilitresPerMinute(first);
        _starts.Litres(first).CopyTo(_volume, first);
        flow.CopyTo(_flow, first);
        (Lanes.One - _starts.Kept(first)).CopyTo(_share, first);
        var warmth = tankCelsius is { } tank ? new WarmthPaths(_starts, first, _prior, (float)tank) : default;
        warmth.Settles(flow).CopyTo(_settles, first);
        var paths = new FuturePaths(_prior, _starts, _draws, first, kept, warmth);
        for (var k = 0; k < _grid.Count && paths.GoesOn; k++)
        {
            paths.Step(_grid[k]);
        }

        paths.Match.CopyTo(_match, first);
        paths.Brim.CopyTo(_brim, first);
        paths.Replaced.CopyTo(_replaced, first);
        paths.Warmth.Even.CopyTo(_even, first);
        paths.Joint.CopyTo(_joint, first);
    }
}
