namespace Evenwater.Core.Estimation;

/// <summary>What one block of a float has shown.</summary>
internal enum FloatNews
{
    /// <summary>Nothing.</summary>
    None,

    /// <summary>The water has just come up to it.</summary>
    Crossed,

    /// <summary>The water has come up to it some time during a gap.</summary>
    FoundWet,
}

/// <summary>
/// Watches one float for its first crossing. Waves make it flutter there, so two blocks in a row must be mostly wet. What it
/// does afterwards says nothing new about a vessel that fills, until water is drawn off: then it may turn dry, and be crossed once more.
/// </summary>
internal sealed class FloatWatch
{
    /// <summary>Blocks in a row that must be wet.</summary>
    private const int Sure = 2;

    /// <summary>So many it may still be wet after water was drawn off: ten minutes. Common practice, no source.</summary>
    private const int WhileDrawn = 20;
    private readonly Channel _channel;
    private int _wet;
    private int _seen;
    private int _wetBlocks;
    private bool _wasDry;
    private bool _afterGap;
    private int _patience = Sure;

    public FloatWatch(Channel channel, double? litres, double sdLitres)
    {
        _channel = channel;
        Fitted = litres is > 0;
        LnVolume = Fitted ? Math.Log(litres!.Value) : 0;
        LnSd = Fitted ? Math.Max(sdLitres, 1e-3) / litres!.Value : 1;
    }

    public bool Fitted { get; }

    /// <summary>ln of the volume at which it turns wet.</summary>
    public double LnVolume { get; }

    /// <summary>Standard deviation of that.</summary>
    public double LnSd { get; }

    /// <summary>Whether it says, now, that the water is below it.</summary>
    public bool Dry { get; private set; }

    /// <summary>Whether it has just turned wet, and one more wet block makes that a crossing.</summary>
    public bool Touched { get; private set; }

    /// <summary>Whether it may have been crossed some time in a gap, and not just now.</summary>
    public bool CrossedInGap => _afterGap;

    /// <summary>Whether it has nothing more to say: it has turned wet, or was wet from the start and is not believed.</summary>
    public bool Spent { get; private set; }

    public void Add(in Readings readings)
    {
        if (!Fitted || Spent || !readings[_channel].TryGet(out var value))
        {
            return;
        }

        _seen++;
        _wet += value > 0.5 ? 1 : 0;
    }

    public void AfterGap() => _afterGap = true;

    /// <summary>Water was drawn off: the float is watched anew, and has a while to turn dry.</summary>
    public void AfterDrawOff() => (Spent, _wasDry, _wetBlocks, _patience) = (false, false, 0, WhileDrawn);

    public FloatNews Close()
    {
        if (_seen == 0)
        {
            // What it said before is no longer news of now.
            (Dry, Touched) = (false, false);
            return FloatNews.None;
        }

        var wet = 2 * _wet >= _seen;
        _seen = 0;
        _wet = 0;
        _wetBlocks = wet ? _wetBlocks + 1 : 0;
        if (_wetBlocks < (_wasDry ? Sure : _patience))
        {
            _afterGap &= wet;
            _wasDry |= !wet;
            Dry = !wet && !Spent;
            Touched = wet && _wasDry;
            return FloatNews.None;
        }

        Spent = true;
        (Dry, Touched) = (false, false);
        return !_wasDry ? FloatNews.None : _afterGap ? FloatNews.FoundWet : FloatNews.Crossed;
    }
}
