namespace Evenwater.Log;

/// <summary>The log's file can not be used; the message names the file and says what to do.</summary>
internal sealed class LogUnusableException : IOException
{
    public LogUnusableException()
    {
    }

    public LogUnusableException(string message)
        : base(message)
    {
    }

    public LogUnusableException(string message, Exception innerException)
        : base(message, innerException)
    {
    }
}
