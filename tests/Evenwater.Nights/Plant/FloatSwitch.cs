using Evenwater.Core;

namespace Evenwater.Nights.Plant;

/// <summary>A float at a place of its own, with some travel between wet and dry, on water with waves, that may stick or flicker.</summary>
public sealed class FloatSwitch(FloatSwitch.Setup setup, Chance chance)
{
    private bool _wet;
    private bool _known;
    private double _stickLitres = setup.StickLitres;

    /// <summary>How the float behaves.</summary>
    public sealed record Setup
    {
        /// <summary>Volume at which it really turns wet, L.</summary>
        public required double AtLitres { get; init; }

        /// <summary>It turns dry again so far below, L.</summary>
        public double TravelLitres { get; init; }

        /// <summary>Waves, sd in L of level.</summary>
        public double WaveSdLitres { get; init; }

        /// <summary>How far the water rises past it the first time before it comes loose, L.</summary>
        public double StickLitres { get; init; }

        /// <summary>Share of single rows read wrongly.</summary>
        public double FlickerShare { get; init; }

        public FloatTrouble? Trouble { get; init; }
    }

    public Reading Read(double seconds, double litres, MonotonicTime at)
    {
        var level = litres + (setup.WaveSdLitres * chance.Gauss());
        if (!_known)
        {
            _wet = level > setup.AtLitres;
            _known = true;
        }

        if (_wet)
        {
            _wet = level > setup.AtLitres - setup.TravelLitres;
        }
        else if (level > setup.AtLitres + _stickLitres)
        {
            _wet = true;
            _stickLitres = 0;
        }

        var shown = setup.Trouble is { } t && seconds >= t.FromSeconds ? t.Wet
            : setup.FlickerShare > 0 && chance.Happens(setup.FlickerShare) ? !_wet
            : _wet;
        return Reading.Of(shown ? 1 : 0, at);
    }
}
