namespace Evenwater.Hardware.Rig;

/// <summary>A float's contact: opens as the water passes its height and closes a little lower. True = open = line high.</summary>
/// <param name="atLitres">Volume at which it turns wet; infinity when it never does.</param>
internal sealed class SwitchModel(double atLitres)
{
    /// <summary>How far the water must fall again, L. A float's own play; an assumption.</summary>
    private const double PlayLitres = 0.03;

    public bool Wet { get; private set; }

    public void Step(double litres) => Wet = litres > (Wet ? atLitres - PlayLitres : atLitres);
}
