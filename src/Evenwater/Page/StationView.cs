using Evenwater.Core;
using Evenwater.Core.Estimation;
using Evenwater.Core.Telling;
using Evenwater.Page.Opening;

namespace Evenwater.Page;

/// <summary>All that a person is shown of one station at one moment; immutable, published about once a second.</summary>
public sealed record StationView
{
    /// <summary>The station's name.</summary>
    public required string Name { get; init; }

    /// <summary>Whether a simulated rig stands behind it.</summary>
    public bool Simulated { get; init; }

    /// <summary>How many station seconds pass in a second; 1 for a real station.</summary>
    public double Speed { get; init; } = 1;

    /// <summary>Wall time of the station's own clock, with the offset it is to be shown in.</summary>
    public required DateTimeOffset Now { get; init; }

    /// <summary>The station's turn that this is the view of, on its own clock. Not part of the interface's JSON.</summary>
    [System.Text.Json.Serialization.JsonIgnore]
    public MonotonicTime Turned { get; init; }

    /// <summary>The same moment on the clock of <see cref="History"/>: s since the run began (since the start of watching, without a run).</summary>
    public double NowSeconds { get; init; }

    /// <summary>What the picture calls this moment.</summary>
    public string NowWord { get; init; } = "now";

    /// <summary>How long the run has been going, s; null when there is none, or it is over.</summary>
    public double? ElapsedSeconds { get; init; }

    /// <summary>The one word.</summary>
    public StateWord Word { get; init; }

    /// <summary>What is happening, in a sentence.</summary>
    public required string Sentence { get; init; }

    /// <summary>What the program did about it.</summary>
    public string? Did { get; init; }

    /// <summary>What the keeper is to do.</summary>
    public string? Do { get; init; }

    /// <summary>By when, on the station's clock.</summary>
    public DateTimeOffset? ByWhen { get; init; }

    /// <summary>The same in words, such as "within 5 min", where no clock was ever set. Not part of the interface's JSON.</summary>
    [System.Text.Json.Serialization.JsonIgnore]
    public string? HowSoon { get; init; }

    /// <summary>Where the run stands, such as "dripping" or "tripped: high float".</summary>
    public required string Phase { get; init; }

    /// <summary>Whether the valve is commanded open.</summary>
    public bool ValveOpen { get; init; }

    /// <summary>Whether it rests meanwhile, between two pulses of a paced run.</summary>
    public bool ValveRests { get; init; }

    /// <summary>Where the valve stands, in a word or two.</summary>
    public string ValveWord => !ValveOpen ? "closed" : ValveRests ? "resting between pulses" : "open";

    /// <summary>The measured and estimated values, in the order to show them.</summary>
    public IReadOnlyList<ValueLine> Values { get; init; } = [];

    /// <summary>The past, thinned; see <see cref="RunHistory"/>.</summary>
    public IReadOnlyList<HistoryPoint> History { get; init; } = [];

    /// <summary>The future; null when the estimator does not run.</summary>
    public Forecast? Forecast { get; init; }

    /// <summary>The wall time that the forecast's moments count from, up to two minutes before <see cref="Now"/>: counted from now they would move on until the next one, and be told otherwise than by the sentence.</summary>
    [System.Text.Json.Serialization.JsonIgnore]
    public DateTimeOffset ForecastNow => Forecast is { } forecast ? Now.AddSeconds(forecast.At.SecondsSince(Turned)) : Now;

    /// <summary>Whether the sentence names no time of the match, though the forecast may have one. Not part of the interface's JSON.</summary>
    [System.Text.Json.Serialization.JsonIgnore]
    public bool MatchCannotTell { get; init; }

    /// <summary>Even within this, µS/cm at 25 °C; null without a run.</summary>
    public double? ToleranceMicrosiemensPerCm { get; init; }

    /// <summary>Where the two waters conduct nearly alike, the share of the vessel's that must be the tank's, and no tolerance, makes them even; null elsewhere. Not part of the interface's JSON.</summary>
    [System.Text.Json.Serialization.JsonIgnore]
    public double? EvenByShare { get; init; }

    /// <summary>Brim less freeboard, L; null for a watched tank.</summary>
    public double? MarkLitres { get; init; }

    /// <summary>Volume at which water spills, L; null for a watched tank.</summary>
    public double? BrimLitres { get; init; }

    /// <summary>Volume above which water runs off through a standpipe, L; null without one. Not part of the interface's JSON.</summary>
    [System.Text.Json.Serialization.JsonIgnore]
    public double? StandpipeLitres { get; init; }

    /// <summary>What happened in this run, oldest first.</summary>
    public IReadOnlyList<RunEvent> Events { get; init; } = [];

    /// <summary>What may be asked of the valve by a challenge.</summary>
    public Opens Opens { get; init; }

    /// <summary>What a run that begins now would take; null where that is not known. Not part of the interface's JSON, which asks by a challenge.</summary>
    [System.Text.Json.Serialization.JsonIgnore]
    public Beginning? Beginning { get; init; }

    /// <summary>What is left of the run's budgets.</summary>
    public IReadOnlyList<Budget> Budgets { get; init; } = [];

    /// <summary>The alarms that are not normal, those that stand first, most urgent first.</summary>
    public IReadOnlyList<AlarmLine> Alarms { get; init; } = [];

    /// <summary>How much the alarms ask of their person, in a sentence; null when nobody was called all day.</summary>
    public string? AlarmFigures { get; init; }

    /// <summary>How the proof test stands, in a sentence; null when that is not known.</summary>
    public string? Proof { get; init; }

    /// <summary>Whether the cautions are still to be shown.</summary>
    public bool CautionsShown { get; init; }

    /// <summary>The wall time of an instant on the clock of <see cref="History"/>.</summary>
    public DateTimeOffset ClockAt(double seconds) => Zone is { } zone ? TimeZoneInfo.ConvertTime(Now.AddSeconds(seconds - NowSeconds), zone) : Now.AddSeconds(seconds - NowSeconds);

    /// <summary>A time as it is read beside this view: by the clock alone within half a day, where no other moment that is as near reads the same; else with its day.</summary>
    public string ClockText(DateTimeOffset at) => at.ToString(Math.Abs((at - Now).TotalDays) <= 0.5 ? "HH:mm" : "ddd d MMM HH:mm");

    /// <summary>Whether <see cref="Now"/> may be believed; else this computer's clock has never been set.</summary>
    public bool ClockKnown { get; init; } = true;

    /// <summary>What clocks show here when they are changed; null: they stay as they are now. Not part of the interface's JSON, whose times carry their offsets.</summary>
    [System.Text.Json.Serialization.JsonIgnore]
    public TimeZoneInfo? Zone { get; init; }
}
