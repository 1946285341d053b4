namespace Evenwater.Page;

/// <summary>What kind of thing happened in a run.</summary>
public enum RunEventKind
{
    /// <summary>The valve opened or closed.</summary>
    Valve,

    /// <summary>A person was called.</summary>
    Alarm,

    /// <summary>Water was drawn off.</summary>
    Drawn,

    /// <summary>The keeper wrote something down.</summary>
    Note,

    /// <summary>The program started anew.</summary>
    Start,
}

/// <summary>Something that happened while a run went on.</summary>
/// <param name="Seconds">On the clock of <see cref="StationView.NowSeconds"/>.</param>
/// <param name="Kind">Of which kind.</param>
/// <param name="Text">What, in a sentence.</param>
public sealed record RunEvent(double Seconds, RunEventKind Kind, string Text);
