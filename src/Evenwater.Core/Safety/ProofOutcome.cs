namespace Evenwater.Core.Safety;

/// <summary>How a proof test stands.</summary>
public enum ProofOutcome
{
    /// <summary>It goes on.</summary>
    Running,

    /// <summary>Every part held.</summary>
    Passed,

    /// <summary>A part did not hold; the parts after it were not tried.</summary>
    Failed,

    /// <summary>It was not gone through to its end: nothing of it counts.</summary>
    Interrupted,
}
