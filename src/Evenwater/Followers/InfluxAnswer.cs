using System.Text.RegularExpressions;
using InfluxDB.Client.Core.Exceptions;

namespace Evenwater.Followers;

/// <summary>What a failed write tells one to do.</summary>
internal enum InfluxVerdict
{
    /// <summary>The server is away, busy or in trouble: the same again, later.</summary>
    Later,

    /// <summary>It does not let this daemon write there at all: no reading is to blame.</summary>
    Denied,

    /// <summary>It does not like what was sent: some entry is to blame.</summary>
    Refused,
}

/// <summary>A write that failed, in words. Statuses: RFC 9110, section 15; what InfluxDB means by them: its "API reference", POST /api/v2/write and /write.</summary>
/// <param name="Verdict">What to do.</param>
/// <param name="Reason">What the server, or the network, said; one line of at most 300 characters.</param>
/// <param name="After">How long it asks to be left alone.</param>
internal sealed record InfluxAnswer(InfluxVerdict Verdict, string Reason, TimeSpan? After)
{
    private const int LongestReason = 300;

    /// <summary>Longer than this no server makes us wait. Common practice, no source.</summary>
    private static readonly TimeSpan LongestAfter = TimeSpan.FromHours(1);

    public static InfluxAnswer Of(Exception failure)
    {
        var own = (failure as HttpException)?.Status ?? 0;
        var status = own > 0 ? own : ElseStatus(failure) ?? 0;
        var verdict = status switch
        {
            400 or 413 or 422 => InfluxVerdict.Refused,
            401 or 403 or 404 or (>= 200 and < 400) => InfluxVerdict.Denied, // a yes that is none, or the way to elsewhere: see InfluxWire
            _ => InfluxVerdict.Later,
        };
        var after = failure is HttpException { RetryAfter: > 0 and var seconds } ? TimeSpan.FromSeconds(Math.Min((double)seconds, LongestAfter.TotalSeconds)) : (TimeSpan?)null;
        var said = IsTimeout(failure) ? "no answer in time"
            : (failure as HttpException)?.ErrorBody?["error"]?.ToString() is { Length: > 0 } error ? error // 1.x; the client knows 2.x's "message" alone.
            : failure.Message;
        return new InfluxAnswer(verdict, Line(own == 0 ? said : $"{said} (status {status})"), after);
    }

    /// <summary>The client wraps what its HTTP client threw; who waited in vain is told so in plain words.</summary>
    private static bool IsTimeout(Exception? failure) => failure is OperationCanceledException or TimeoutException || (failure is not null && IsTimeout(failure.InnerException));

    /// <summary>Of an answer that is no database's. The client wraps that too.</summary>
    private static int? ElseStatus(Exception? failure) => failure is null ? null : (int?)(failure as HttpRequestException)?.StatusCode ?? ElseStatus(failure.InnerException);

    /// <summary>Whether it speaks of single points; otherwise it may mean the whole request, whatever is in it.</summary>
    public bool NamesPoints => Reason.Contains("partial write", StringComparison.Ordinal);

    /// <summary>How many points a server says that it has dropped while it took the rest; 0 when it does not say.</summary>
    public int Dropped => NamesPoints && Regex.Match(Reason, @"dropped=(\d{1,9})") is { Success: true } dropped
        ? int.Parse(dropped.Groups[1].Value)
        : 0;

    /// <summary>What others say goes into logs: one line, no control characters, no end to be waited for.</summary>
    private static string Line(string said)
    {
        var plain = string.Concat(said.Select(c => char.IsControl(c) ? ' ' : c)).Trim();
        return plain.Length <= LongestReason ? plain : $"{plain[..140]} ... {plain[^140..]}";
    }
}
