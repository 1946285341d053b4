namespace Evenwater.Core.Calibration;

/// <summary>What a probe measures, as far as its drift is rated by USGS Techniques and Methods 1-D3 (Wagner and others 2006).</summary>
public enum DriftKind
{
    /// <summary>Temperature; errors in °C.</summary>
    Temperature,

    /// <summary>Conductivity at 25 °C; errors in % of the reading.</summary>
    SpecificConductance,

    /// <summary>pH; errors in its own units.</summary>
    Ph,
}
