namespace Evenwater.Hardware;

/// <summary>The pins that the station file names cannot be had on this computer.</summary>
public sealed class GpioChipException : Exception
{
    /// <summary>Without more to say.</summary>
    public GpioChipException()
    {
    }

    /// <summary>With the key, the value and what there is instead.</summary>
    public GpioChipException(string message)
        : base(message)
    {
    }

    /// <summary>With the cause as well.</summary>
    public GpioChipException(string message, Exception innerException)
        : base(message, innerException)
    {
    }
}
