using CsCheck;
using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;

namespace Evenwater.CoreTests.Protection;

/// <summary>One step of a random night: what was before, what came, what followed.</summary>
internal readonly record struct Seen(Phase Before, Weather Weather, Phase After, MonotonicTime? LeaseUntil, MonotonicTime Now)
{
    /// <summary>Whether an alarm that only a reset ends stood before the step.</summary>
    public bool Latched { get; init; }

    public bool Open => LeaseUntil is not null;

    public bool Wet => (Weather.HighWet && !Weather.SwitchLost) || Weather.LeakWet;

    public bool AllWell => !Wet && !Weather.SwitchLost && !Weather.ProbeLost && Weather.LogCommits;
}

/// <summary>The safety rules of the valve, each as a law over one step of any sequence of inputs.</summary>
internal static class Rules
{
    public static bool Open_only_in_a_run_that_drips(Seen s) => !s.Open || s.After == Phase.Dripping;

    public static bool A_lease_is_never_longer_than_three_seconds(Seen s) => s.LeaseUntil is not { } until || until.SecondsSince(s.Now) <= 3;

    public static bool Dripping_begins_only_from_a_committed_opening_with_all_probes_fresh(Seen s) =>
        s.After != Phase.Dripping || s.Before == Phase.Dripping
        || (s.Before == Phase.Armed && s.Weather.Committed && s.AllWell);

    public static bool A_run_is_armed_only_by_a_begin_or_a_restart(Seen s) =>
        s.After != Phase.Armed || s.Before == Phase.Armed
        || (s.Weather.Command == Verb.Begin && s.AllWell)
        || (s.Weather.Command == Verb.Restarted && s.Before == Phase.Dripping);

    public static bool Nothing_is_armed_while_an_alarm_waits_for_its_reset(Seen s) => !s.Latched || s.After != Phase.Armed || (s.Before == Phase.Armed && s.Weather.Command != Verb.Restarted);

    public static bool Never_open_while_the_high_float_is_wet(Seen s) => !s.Wet || s.Weather.LeakWet || !s.Open;

    public static bool Never_open_while_the_floor_is_wet(Seen s) => !s.Weather.LeakWet || !s.Open;

    public static bool Never_open_while_a_switch_gives_no_answer(Seen s) => !s.Weather.SwitchLost || !s.Open;

    public static bool Never_open_while_the_log_can_not_commit(Seen s) => s.Weather.LogCommits || !s.Open;

    public static bool Every_cause_trips_by_itself(Seen s) =>
        s.Before != Phase.Dripping || s.Weather.Cause == Trip.None || s.After == Phase.Tripped || s.Weather.Command == Verb.Restarted;

    public static bool Wet_trips_every_phase_of_a_run(Seen s) =>
        !s.Wet || s.Before is not (Phase.Armed or Phase.Dripping or Phase.Holding) || s.After == Phase.Tripped;

    public static bool A_trip_latches_until_a_reset_with_the_cause_clear(Seen s) =>
        s.Before != Phase.Tripped || s.After == Phase.Tripped
        || (s.After == Phase.Holding && s.Weather.Command == Verb.Reset && s.AllWell);

    public static bool A_reset_opens_nothing(Seen s) => s.Weather.Command != Verb.Reset || s.Before == Phase.Dripping || !s.Open
        || (s.Before == Phase.Armed && s.Weather.Committed);

    public static bool Water_drawn_off_changes_no_phase_by_itself(Seen s) =>
        s.Weather.Command != Verb.Drawn || s.After == s.Before || s.After is Phase.Tripped or Phase.Holding
        || (s.Before == Phase.Armed && s.Weather.Committed);

    public static bool Closing_needs_no_permission(Seen s) => s.Weather.Command != Verb.Close || !s.Open;

    public static bool Finishing_closes(Seen s) => s.Weather.Command != Verb.Finish || !s.Open;

    public static bool A_restart_closes(Seen s) => s.Weather.Command != Verb.Restarted || !s.Open;

    public static bool A_restart_trips_by_what_is_wet_alone(Seen s) =>
        s.Weather.Command != Verb.Restarted || s.Before != Phase.Dripping || s.Wet == (s.After == Phase.Tripped);

    public static bool A_restart_without_leave_to_resume_does_not_arm(Seen s) =>
        s.Weather.Command != Verb.Restarted || s.After != Phase.Armed;

    /// <summary>Runs random nights and throws, with the seed and the shortest failing night, when the law is broken.</summary>
    public static void Check(Func<Seen, bool> law, Func<SafetyWorld> make, Func<Weather, Weather>? bend = null, int nights = 200) =>
        CheckAll([new("law", law)], make, nights, bend);

    /// <summary>The same for many laws at once.</summary>
    public static void CheckAll(IEnumerable<KeyValuePair<string, Func<Seen, bool>>> laws, Func<SafetyWorld> make, int nights, Func<Weather, Weather>? bend = null) =>
        SafetyWorld.Gen.Array[1, 60].Sample(
            night =>
            {
                var world = make();
                foreach (var any in night)
                {
                    var weather = bend is null ? any : bend(any);
                    var before = world.State.Phase;
                    var latched = AlarmTable.All.Any(row => row.Latches && world.State.AlarmOf(row.Id).Standing != AlarmStanding.Normal);
                    var after = world.Step(weather);
                    var seen = new Seen(before, weather, after, world.LeaseUntil, world.Now) { Latched = latched };
                    foreach (var (name, law) in laws)
                    {
                        Assert.True(law(seen), name);
                    }
                }
            },
            iter: nights, threads: 1);
}
