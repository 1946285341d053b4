using Evenwater.Core.Water;

namespace Evenwater.Core.Calibration;

/// <summary>What the standards are called in sentences.</summary>
public static class StandardNames
{
    /// <summary>The words for one.</summary>
    public static string Of(ConductivityStandard standard) => standard switch
    {
        ConductivityStandard.HundredthMolal => "KCl 0.01 mol/kg",
        ConductivityStandard.TenthMolal => "KCl 0.1 mol/kg",
        ConductivityStandard.OneMolal => "KCl 1 mol/kg",
        ConductivityStandard.Sold1413 => "the 1413 standard",
        ConductivityStandard.SeaWater35 => "sea water of salinity 35",
        ConductivityStandard.Sold147 => "the 147 standard",
        _ => throw new ArgumentOutOfRangeException(nameof(standard), standard, "no such standard"),
    };
}
