using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Stations;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Running;

/// <summary>A station without a run, its cycle stepped once a minute for weeks, its log a real one.</summary>
internal sealed class Weeks
{
    private readonly NightLog _log;
    private readonly SetTime _time;
    private readonly StationState _state;
    private readonly StationClock _clock;
    private readonly Recorder _recorder;
    private readonly WeeklyTestCall _test;
    private EffectBuffer _effects;

    /// <summary>The program is started, after whatever the log knows of.</summary>
    public Weeks(NightLog log, SetTime time, WeeklyTest? set = null)
    {
        (_log, _time) = (log, time);
        _state = new StationState(LogFolder.Station("creek") with { WeeklyTest = set ?? new() });
        _clock = StationClock.Real(default, time);
        _recorder = new Recorder(log, new RunNumbers(0), _clock, "creek", log.StartBoot("test", simulated: false), log.Configure(_state.Station));
        _test = new WeeklyTestCall(_state, _recorder, _clock);
        _test.Recall(log.Reader);
    }

    /// <summary>Local times at which the test called, and no other alarm.</summary>
    public List<string> Called { get; } = [];

    public AlarmStanding Standing => _state.AlarmOf(AlarmId.WeeklyTest).Standing;

    /// <summary>Whether a database refuses, an alarm of low priority that has nothing to do with the test.</summary>
    public bool Refused { get; set; }

    public void Acknowledge() => Step(Verb.Acknowledge);

    public Weeks Go(double days)
    {
        for (var minute = 0; minute < Math.Round(days * 24 * 60); minute++)
        {
            _time.Advance(TimeSpan.FromMinutes(1));
            Step(Verb.None);
        }

        _log.Flush();
        return this;
    }

    private void Step(Verb verb)
    {
        var now = _clock.Now;
        Cycle.Step(_state, new Samples { LogCommits = true, SendingRefused = Refused, Command = verb, TestCalls = _test.Calls(now) }, now, ref _effects);
        for (var i = 0; i < _effects.Count; i++)
        {
            _recorder.Effect(_effects[i], _state, now);
            if (_effects[i] is { Calls: true, Alarm: AlarmId.WeeklyTest })
            {
                Called.Add($"{_clock.WallAt(now):MM-dd HH:mm}");
            }
        }

        _test.Turn(_effects, now);
    }
}
