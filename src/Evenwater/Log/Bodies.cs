using Evenwater.Core.Alarms;
using Evenwater.Core.Estimation;

namespace Evenwater.Log;

/// <summary>Of <see cref="EntryKind.Alarm"/>.</summary>
/// <param name="Name">Of the alarm: a-z, 0-9 and -; the last part of its topic.</param>
/// <param name="State">Where it stands now, in ISA-18.2's words.</param>
/// <param name="Priority">low, medium, high or critical.</param>
/// <param name="Title">What is happening.</param>
/// <param name="Did">What the program has done.</param>
/// <param name="Do">What a person has to do.</param>
/// <param name="ByWhen">By when, when that is known.</param>
internal sealed record AlarmBody(
    string Name, AlarmStanding State, AlarmPriority Priority, string Title, string Did, string Do, DateTimeOffset? ByWhen = null)
{
    /// <summary>Whether a person is called by this entry: what pushes to a telephone goes by this alone.</summary>
    public bool Calls { get; init; }

    /// <summary>What comes of it if nothing is done.</summary>
    public string? Consequence { get; init; }

    /// <summary>Since when its condition is true; while it is.</summary>
    public DateTimeOffset? Since { get; init; }

    /// <summary>While shelved: until when.</summary>
    public DateTimeOffset? ShelvedUntil { get; init; }

    /// <summary>While shelved or out of service: why.</summary>
    public string? Why { get; init; }
}

internal enum AlarmPriority
{
    Low,
    Medium,
    High,
    Critical,
}

/// <summary>Of <see cref="EntryKind.Say"/>.</summary>
/// <param name="Word">One of the four state words.</param>
/// <param name="Text">One sentence.</param>
/// <param name="NextWordBySeconds">When the next sentence is due at the latest, s from this one.</param>
internal sealed record SayBody(string Word, string Text, double NextWordBySeconds);

/// <summary>Of <see cref="EntryKind.Forecast"/>. A time is null when it lies beyond the horizon.</summary>
internal sealed record ForecastBody(
    double? MatchP05Seconds,
    double? MatchP50Seconds,
    double? MatchP95Seconds,
    double? BrimP05Seconds,
    double? BrimP50Seconds,
    double? BrimP95Seconds,
    double VolumeP05Litres,
    double VolumeP50Litres,
    double VolumeP95Litres,
    double FlowP05MillilitresPerMinute,
    double FlowP50MillilitresPerMinute,
    double FlowP95MillilitresPerMinute,
    double MatchedProbability,
    double BrimProbability,
    Health Health)
{
    /// <summary>The numbers of a forecast that are kept.</summary>
    public static ForecastBody Of(in Forecast forecast) => new(
        Within(forecast.MatchSeconds.P05),
        Within(forecast.MatchSeconds.P50),
        Within(forecast.MatchSeconds.P95),
        Within(forecast.BrimSeconds.P05),
        Within(forecast.BrimSeconds.P50),
        Within(forecast.BrimSeconds.P95),
        forecast.VolumeLitres.P05,
        forecast.VolumeLitres.P50,
        forecast.VolumeLitres.P95,
        forecast.FlowMillilitresPerMinute.P05,
        forecast.FlowMillilitresPerMinute.P50,
        forecast.FlowMillilitresPerMinute.P95,
        forecast.MatchedProbability,
        forecast.BrimProbability,
        forecast.Health);

    private static double? Within(double seconds) => double.IsFinite(seconds) ? seconds : null;
}

/// <summary>Of <see cref="EntryKind.Run"/>: the phase entered, and why.</summary>
internal sealed record RunBody(string Phase, string Why);

/// <summary>Of <see cref="EntryKind.Valve"/>: what it was told, and why.</summary>
internal sealed record ValveBody(bool Open, string Why);

/// <summary>Of <see cref="EntryKind.Trip"/>.</summary>
internal sealed record TripBody(string Cause);

/// <summary>Of <see cref="EntryKind.Command"/>.</summary>
/// <param name="Verb">What was asked.</param>
/// <param name="By">Who asked: page, socket, mqtt and the client's name.</param>
/// <param name="Obeyed">Whether it was done.</param>
/// <param name="Answer">What was answered.</param>
internal sealed record CommandBody(string Verb, string By, bool Obeyed, string Answer);

/// <summary>Of <see cref="EntryKind.Event"/>.</summary>
/// <param name="Name">a-z, 0-9 and -.</param>
/// <param name="Text">What happened.</param>
internal sealed record EventBody(string Name, string Text);
