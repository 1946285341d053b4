namespace Evenwater.Core.Telling;

/// <summary>The one word a station is summed up in.</summary>
public enum StateWord : byte
{
    /// <summary>Nothing for a person to do.</summary>
    Steady = 0,

    /// <summary>Worth a look; nothing is urgent.</summary>
    Look = 1,

    /// <summary>A person must do something.</summary>
    Act = 2,

    /// <summary>Too little is known to say.</summary>
    CannotTell = 3,
}
