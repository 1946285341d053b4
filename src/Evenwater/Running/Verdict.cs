using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;

namespace Evenwater.Running;

/// <summary>What one rehearsed night came to. Instants are s from the start.</summary>
internal sealed record Verdict
{
    public Phase End { get; set; }

    public Trip Trip { get; set; }

    public double? OpenedAt { get; set; }

    public double? ClosedAt { get; set; }

    public double? TrueMatchAt { get; set; }

    public double LitresAtClose { get; set; }

    public double LitresMost { get; set; }

    public double SpilledLitres { get; set; }

    /// <summary>What the last run's time budget counted, s.</summary>
    public double OpenSeconds { get; set; }

    public double VesselAtClose { get; set; }

    public double TankAtClose { get; set; }

    public bool ClosedByPlan { get; set; }

    public List<(double At, string What)> Story { get; } = [];

    /// <summary>Every call to a person.</summary>
    public List<(double At, AlarmId Alarm)> Alarms { get; } = [];

    public bool TrulyEvenAtClose { get; set; }

    /// <summary>How much was truly replaced when it closed, a share; null where the waters' conductivity tells when they are even.</summary>
    public double? ReplacedAtClose { get; set; }

    /// <summary>Whether it found the waters even that were not nearly: further apart than half as much again as counts.</summary>
    public bool FarFromEven { get; set; }

    /// <summary>Whether the night went as planned: closed because it found the waters even, which were so at least nearly, and nothing spilled. What was true is told beside it.</summary>
    public bool Good => ClosedByPlan && SpilledLitres == 0 && !FarFromEven;
}
