namespace Evenwater.Photographs;

/// <summary>How the process that redraws a picture ended: its exit codes, and what its parent makes of the rest.</summary>
internal enum RedrawEnd
{
    /// <summary>The new picture is on its standard output.</summary>
    Fine = 0,

    /// <summary>Not a picture of a kind that is read.</summary>
    NoPicture = 30,

    /// <summary>More pixels than are decoded.</summary>
    TooManyPixels = 31,

    /// <summary>Damaged, or not whole.</summary>
    Broken = 32,

    /// <summary>The process could not bind itself, so it has read nothing.</summary>
    Unbound = 33,

    /// <summary>Ended by its limit of memory, or by a fault: from outside they look alike.</summary>
    Died = 34,

    /// <summary>Ended because it took too long.</summary>
    TooLong = 35,
}
