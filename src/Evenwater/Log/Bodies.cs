using Evenwater.Core.Alarms;
using Evenwater.Core.Estimation;
using Evenwater.Core.Keeping;
using Evenwater.Core.Safety;

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
    string Name, AlarmStanding State, Priority Priority, string Title, string Did, string Do, DateTimeOffset? ByWhen = null)
{
    /// <summary>Whether a person is called by this entry: what pushes to a telephone goes by this alone.</summary>
    public bool Calls { get; init; }

    /// <summary>How often it has called since somebody last said that they have seen it; null at the first call, and while it calls nobody.</summary>
    public int? UnseenCalls { get; init; }

    /// <summary>True when it has called in vain so often that somebody else is to be called; otherwise null.</summary>
    public bool? Escalated { get; init; }

    /// <summary>What comes of it if nothing is done.</summary>
    public string? Consequence { get; init; }

    /// <summary>Since when its condition is true; while it is.</summary>
    public DateTimeOffset? Since { get; init; }

    /// <summary>While shelved: until when.</summary>
    public DateTimeOffset? ShelvedUntil { get; init; }

    /// <summary>While shelved or out of service: why.</summary>
    public string? Why { get; init; }
}

/// <summary>Of <see cref="EntryKind.Say"/>.</summary>
/// <param name="Word">One of the four state words.</param>
/// <param name="Text">One sentence.</param>
/// <param name="NextWordBySeconds">When the next sentence is due at the latest, s from this one.</param>
internal sealed record SayBody(string Word, string Text, double NextWordBySeconds)
{
    /// <summary>What the program did; null in entries of before it was kept.</summary>
    public string? Did { get; init; }

    /// <summary>What the keeper should do; null in entries of before it was kept.</summary>
    public string? Do { get; init; }

    /// <summary>Within how long, s from this one, less than 0 once it is past; null when there is no hurry.</summary>
    public double? WithinSeconds { get; init; }
}

/// <summary>Of <see cref="EntryKind.Forecast"/>. A time is null when it lies beyond the horizon. The match is what the run is judged by: waters that conduct alike would match from the start.</summary>
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
    /// <summary>Even in temperature; null as well without both thermometers.</summary>
    public double? TemperatureMatchP50Seconds { get; init; }

    /// <summary>Even in both at once.</summary>
    public double? JointMatchP05Seconds { get; init; }

    /// <inheritdoc cref="JointMatchP05Seconds"/>
    public double? JointMatchP50Seconds { get; init; }

    /// <inheritdoc cref="JointMatchP05Seconds"/>
    public double? JointMatchP95Seconds { get; init; }

    /// <summary>Where the vessel's temperature would stay with the drip as it is; null without both thermometers.</summary>
    public double? SettlingP50Celsius { get; init; }

    /// <summary>Share of the vessel's water that is the tank's, 0 to 1.</summary>
    public double ReplacedP05 { get; init; }

    /// <inheritdoc cref="ReplacedP05"/>
    public double ReplacedP50 { get; init; }

    /// <inheritdoc cref="ReplacedP05"/>
    public double ReplacedP95 { get; init; }

    /// <summary>What was newly recognised; null when nothing was.</summary>
    public string? Recognised { get; init; }

    /// <summary>The numbers of a forecast that are kept.</summary>
    public static ForecastBody Of(in Forecast forecast) => new(
        Within(forecast.EvenSeconds.P05),
        Within(forecast.EvenSeconds.P50),
        Within(forecast.EvenSeconds.P95),
        Within(forecast.BrimSeconds.P05),
        Within(forecast.BrimSeconds.P50),
        Within(forecast.BrimSeconds.P95),
        forecast.VolumeLitres.P05,
        forecast.VolumeLitres.P50,
        forecast.VolumeLitres.P95,
        forecast.FlowMillilitresPerMinute.P05,
        forecast.FlowMillilitresPerMinute.P50,
        forecast.FlowMillilitresPerMinute.P95,
        forecast.EvenProbability,
        forecast.BrimProbability,
        forecast.Health)
    {
        TemperatureMatchP50Seconds = Within(forecast.TemperatureMatchSeconds?.P50),
        JointMatchP05Seconds = Later(forecast.JointMatchSeconds?.P05, forecast.EvenSeconds.P05),
        JointMatchP50Seconds = Later(forecast.JointMatchSeconds?.P50, forecast.EvenSeconds.P50),
        JointMatchP95Seconds = Later(forecast.JointMatchSeconds?.P95, forecast.EvenSeconds.P95),
        SettlingP50Celsius = Within(forecast.SettlingCelsius?.P50),
        ReplacedP05 = forecast.ReplacedFraction.P05,
        ReplacedP50 = forecast.ReplacedFraction.P50,
        ReplacedP95 = forecast.ReplacedFraction.P95,
        Recognised = forecast.Events == ForecastEvents.None ? null : Hardware.Trace.ForecastFile.Events(forecast.Events),
    };

    /// <summary>Both at once is no sooner than the share, where that is what counts.</summary>
    private static double? Later(double? joint, double even) => joint is { } known ? Within(Math.Max(known, even)) : null;

    private static double? Within(double? value) => value is { } known && double.IsFinite(known) ? known : null;
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
internal sealed record EventBody(string Name, string Text)
{
    /// <summary>Of a proof test: what came of each part.</summary>
    public ProofRecord? Proof { get; init; }

    /// <summary>Of a run's animals: the note of the book that tells of them.</summary>
    public string? Arrival { get; init; }
}

/// <summary>Of <see cref="EntryKind.Note"/>.</summary>
/// <param name="Note">The note as it was written.</param>
internal sealed record NoteBody(Note Note);
