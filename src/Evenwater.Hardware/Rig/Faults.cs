namespace Evenwater.Hardware.Rig;

/// <summary>When each kind of fault starts; never, unless asked for.</summary>
internal sealed class Faults
{
    private readonly double[] _start = new double[Enum.GetValues<FaultKind>().Length];

    public Faults(IEnumerable<RigFault> faults)
    {
        Array.Fill(_start, double.PositiveInfinity);
        foreach (var fault in faults)
        {
            _start[(int)fault.Kind] = Math.Min(_start[(int)fault.Kind], fault.AtSeconds);
        }
    }

    /// <summary>Whether the fault is on, so many seconds into the night.</summary>
    public bool IsOn(FaultKind kind, double seconds) => seconds >= _start[(int)kind];

    /// <summary>For how long it has been on, s; 0 when it is not.</summary>
    public double SecondsOn(FaultKind kind, double seconds) => Math.Max(0, seconds - _start[(int)kind]);
}
