using CsCheck;
using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;

namespace Evenwater.CoreTests.Protection;

/// <summary>The safety rules hold over random nights, and each check goes red when the arm it guards is broken.</summary>
public class InterlockTests
{
    private static readonly Dictionary<string, Func<Seen, bool>> Laws = new()
    {
        [nameof(Rules.Open_only_in_a_run_that_drips)] = Rules.Open_only_in_a_run_that_drips,
        [nameof(Rules.A_lease_is_never_longer_than_three_seconds)] = Rules.A_lease_is_never_longer_than_three_seconds,
        [nameof(Rules.Dripping_begins_only_from_a_committed_opening_with_all_probes_fresh)] = Rules.Dripping_begins_only_from_a_committed_opening_with_all_probes_fresh,
        [nameof(Rules.A_run_is_armed_only_by_a_begin_or_a_restart)] = Rules.A_run_is_armed_only_by_a_begin_or_a_restart,
        [nameof(Rules.Nothing_is_armed_while_an_alarm_waits_for_its_reset)] = Rules.Nothing_is_armed_while_an_alarm_waits_for_its_reset,
        [nameof(Rules.Never_open_while_the_high_float_is_wet)] = Rules.Never_open_while_the_high_float_is_wet,
        [nameof(Rules.Never_open_while_the_floor_is_wet)] = Rules.Never_open_while_the_floor_is_wet,
        [nameof(Rules.Never_open_while_a_switch_gives_no_answer)] = Rules.Never_open_while_a_switch_gives_no_answer,
        [nameof(Rules.Never_open_while_the_log_can_not_commit)] = Rules.Never_open_while_the_log_can_not_commit,
        [nameof(Rules.Every_cause_trips_by_itself)] = Rules.Every_cause_trips_by_itself,
        [nameof(Rules.Wet_trips_every_phase_of_a_run)] = Rules.Wet_trips_every_phase_of_a_run,
        [nameof(Rules.A_trip_latches_until_a_reset_with_the_cause_clear)] = Rules.A_trip_latches_until_a_reset_with_the_cause_clear,
        [nameof(Rules.A_reset_opens_nothing)] = Rules.A_reset_opens_nothing,
        [nameof(Rules.Water_drawn_off_changes_no_phase_by_itself)] = Rules.Water_drawn_off_changes_no_phase_by_itself,
        [nameof(Rules.Closing_needs_no_permission)] = Rules.Closing_needs_no_permission,
        [nameof(Rules.Finishing_closes)] = Rules.Finishing_closes,
        [nameof(Rules.A_restart_trips_by_what_is_wet_alone)] = Rules.A_restart_trips_by_what_is_wet_alone,
        [nameof(Rules.A_restart_closes)] = Rules.A_restart_closes,
        [nameof(Rules.A_restart_without_leave_to_resume_does_not_arm)] = Rules.A_restart_without_leave_to_resume_does_not_arm,
    };

    [Fact]
    public void Every_rule_holds() => Rules.CheckAll(Laws, () => new SafetyWorld(), nights: 1000);

    /// <summary>Pacing can only keep shut what the cycle would hold open.</summary>
    [Fact]
    public void Every_rule_holds_in_a_paced_run() => Rules.CheckAll(Laws, () => new SafetyWorld(paced: true), nights: 300);

    [Fact]
    public void Every_rule_but_one_holds_when_a_run_may_resume()
    {
        const string OnlyWithoutLeave = nameof(Rules.A_restart_without_leave_to_resume_does_not_arm);
        Rules.CheckAll(Laws.Where(law => law.Key != OnlyWithoutLeave), () => new SafetyWorld(mayResume: true), nights: 600);
        Assert.Throws<CsCheckException>(() => Rules.Check(Laws[OnlyWithoutLeave], () => new SafetyWorld(mayResume: true)));
    }

    [Fact]
    public void Random_nights_reach_every_phase_and_every_trip()
    {
        var phases = new HashSet<Phase>();
        var trips = new HashSet<Trip>();
        for (var hundreds = 0; hundreds < 50 && (phases.Count, trips.Count) != (Enum.GetValues<Phase>().Length, Enum.GetValues<Trip>().Length); hundreds++)
        {
            SafetyWorld.Gen.Array[1, 60].Sample(
                night =>
                {
                    var world = new SafetyWorld();
                    foreach (var weather in night)
                    {
                        phases.Add(world.Step(weather));
                        trips.Add(world.State.Trip);
                    }
                },
                iter: 100, threads: 1);
        }

        Assert.Equal(Enum.GetValues<Phase>().Order(), phases.Order());
        Assert.Equal(Enum.GetValues<Trip>().Order(), trips.Order());
    }

    /// <summary>Nights in which a person often acknowledges, shelves, unshelves, takes out of service and returns, against the same without.</summary>
    [Fact]
    public void What_a_person_does_to_alarms_changes_no_phase_no_trip_and_no_lease()
    {
        var done = new HashSet<(Verb, AlarmStanding)>();
        var fiddling = CsCheck.Gen.Select(SafetyWorld.Gen, CsCheck.Gen.Enum<Verb>().Where(AlarmAsk.Concerns), CsCheck.Gen.Bool)
            .Select((weather, verb, fiddles) => fiddles && weather.Command == Verb.None ? weather with { Command = verb } : weather);
        fiddling.Array[1, 80].Sample(
            night =>
            {
                var (with, without) = (new SafetyWorld(), new SafetyWorld());
                return night.All(weather =>
                {
                    with.Step(weather);
                    without.Step(AlarmAsk.Concerns(weather.Command) ? weather with { Command = Verb.None } : weather);
                    if (AlarmAsk.Concerns(weather.Command) && weather.Alarm != AlarmId.None)
                    {
                        done.Add((weather.Command, with.State.AlarmOf(weather.Alarm).Standing));
                    }

                    return (with.State.Phase, with.State.Trip, with.LeaseUntil) == (without.State.Phase, without.State.Trip, without.LeaseUntil);
                });
            },
            iter: 600, threads: 1);

        // It would hold just as well if nothing were ever put aside.
        Assert.Contains((Verb.Shelve, AlarmStanding.Shelved), done);
        Assert.Contains((Verb.Retire, AlarmStanding.OutOfService), done);
        Assert.Contains((Verb.Acknowledge, AlarmStanding.Acknowledged), done);
    }

    public static TheoryData<string, Func<Phase, Facts, Phase>> BrokenArms => new()
    {
        { nameof(Rules.Wet_trips_every_phase_of_a_run), (p, f) => p == Phase.Holding && f.Cause != Trip.None ? p : Interlock.Next(p, f) },
        { nameof(Rules.A_trip_latches_until_a_reset_with_the_cause_clear), (p, f) => p == Phase.Tripped && f.Command == Verb.Reset ? Phase.Holding : Interlock.Next(p, f) },
        { nameof(Rules.A_trip_latches_until_a_reset_with_the_cause_clear), (p, f) => p == Phase.Tripped && f.Clear ? Phase.Holding : Interlock.Next(p, f) },
        { nameof(Rules.A_restart_closes), (p, f) => p == Phase.Dripping && f.Command == Verb.Restarted ? p : Interlock.Next(p, f) },
        { nameof(Rules.A_restart_trips_by_what_is_wet_alone), (p, f) => p == Phase.Dripping && f.Command == Verb.Restarted ? Phase.Holding : Interlock.Next(p, f) },
        { nameof(Rules.A_restart_without_leave_to_resume_does_not_arm), (p, f) => Interlock.Next(p, f with { MayResume = true }) },
        { nameof(Rules.Water_drawn_off_changes_no_phase_by_itself), (p, f) => f.Command == Verb.Drawn && p == Phase.Dripping ? Phase.Finished : Interlock.Next(p, f) },
        { nameof(Rules.Closing_needs_no_permission), (p, f) => f.Command == Verb.Close && !f.Clear ? p : Interlock.Next(p, f with { Command = f.Command == Verb.Close ? Verb.None : f.Command }) },
        { nameof(Rules.Finishing_closes), (p, f) => f.Command == Verb.Finish && p == Phase.Dripping ? p : Interlock.Next(p, f) },
        { nameof(Rules.A_run_is_armed_only_by_a_begin_or_a_restart), (p, f) => p == Phase.Holding && f.Fresh ? Phase.Armed : Interlock.Next(p, f) },
        { nameof(Rules.Nothing_is_armed_while_an_alarm_waits_for_its_reset), (p, f) => Interlock.Next(p, f with { Latched = false }) },
        { nameof(Rules.Dripping_begins_only_from_a_committed_opening_with_all_probes_fresh), (p, f) => Interlock.Next(p, f with { OpeningCommitted = true }) },
        { nameof(Rules.Dripping_begins_only_from_a_committed_opening_with_all_probes_fresh), (p, f) => Interlock.Next(p, f with { Fresh = true }) },
        { nameof(Rules.A_reset_opens_nothing), (p, f) => f.Command == Verb.Reset && p == Phase.Tripped ? Phase.Dripping : Interlock.Next(p, f) },
    };

    [Theory]
    [MemberData(nameof(BrokenArms))]
    public void A_broken_arm_turns_its_rule_red(string law, Func<Phase, Facts, Phase> broken) =>
        Assert.Throws<CsCheckException>(() => Rules.Check(Laws[law], () => new SafetyWorld(broken), nights: 4000)); // a restart in a wet drip is rare; stops at the first

    public static TheoryData<Trip> InjectedCauses => [.. Enum.GetValues<Trip>().Where(t => t >= Trip.OverflowForecast)];

    [Theory]
    [MemberData(nameof(InjectedCauses))]
    public void A_table_deaf_to_one_cause_turns_the_rule_of_that_cause_red(Trip deaf) =>
        Assert.Throws<CsCheckException>(() => Rules.Check(
            Rules.Every_cause_trips_by_itself,
            () => new SafetyWorld((p, f) => p == Phase.Dripping && f.Cause == deaf ? p : Interlock.Next(p, f)),
            weather => weather with { Cause = weather.Cause == Trip.None ? Trip.None : deaf }));

    /// <summary>A trip beats the command that comes with it; who asked is told that it was not obeyed.</summary>
    [Theory]
    [InlineData(true, Verb.Begin, Refusal.NotClear)]
    [InlineData(true, Verb.Finish, Refusal.WrongPhase)]
    [InlineData(false, Verb.Finish, Refusal.WrongPhase)]
    [InlineData(false, Verb.Close, Refusal.None)] // closed it is
    public void What_is_asked_as_it_trips_is_not_said_to_be_done(bool held, Verb asked, Refusal refusal)
    {
        var good = new Weather { LogCommits = true, Seconds = 1 };
        var world = new SafetyWorld();
        world.Step(good with { Command = Verb.Begin });
        world.Step(good with { Committed = true });
        world.Step(good with { Command = held ? Verb.Close : Verb.None });
        Assert.Equal(Phase.Tripped, world.Step(good with { Command = asked, HighWet = true }));
        Assert.Equal(refusal, world.Refusal);
    }

    /// <summary>Its floor was wet with nothing running: once it is dry, a person who has looked resets, and only then can a run begin.</summary>
    [Fact]
    public void A_leak_without_a_run_is_reset_before_a_run_begins()
    {
        var good = new Weather { LogCommits = true, Seconds = 1 };
        var world = new SafetyWorld();
        world.Step(good with { LeakWet = true });
        for (var i = 0; i < 100; i++)
        {
            world.Step(good);
        }

        Assert.Equal(AlarmStanding.LatchedUnacknowledged, world.State.AlarmOf(AlarmId.Leak).Standing);
        Assert.Equal(Phase.Idle, world.Step(good with { Command = Verb.Begin }));
        Assert.Equal(Refusal.Latched, world.Refusal);
        Assert.Equal(Phase.Idle, world.Step(good with { Command = Verb.Reset, LogCommits = false }));
        Assert.Equal(Refusal.LogLost, world.Refusal); // every switch is dry and answers
        Assert.Equal(Phase.Idle, world.Step(good with { Command = Verb.Reset }));
        Assert.Equal(Refusal.None, world.Refusal);
        Assert.Equal(Phase.Armed, world.Step(good with { Command = Verb.Begin }));
    }

    /// <summary>Its log was damaged and set aside: it begins tripped, and nothing is known of a run. A run that is held has a vessel and a budget; here there is neither to go on with.</summary>
    [Fact]
    public void A_trip_without_a_run_is_reset_to_none()
    {
        var good = new Weather { LogCommits = true, Seconds = 1 };
        var world = new SafetyWorld();
        (world.State.Phase, world.State.Trip) = (Phase.Tripped, Trip.LogLost);
        Assert.Equal(Phase.Tripped, world.Step(good));
        Assert.Equal(Phase.Idle, world.Step(good with { Command = Verb.Reset }));
        Assert.Equal(Phase.Armed, world.Step(good with { Command = Verb.Begin }));
        Assert.Equal(0, world.State.InflowLitres);
    }

    /// <summary>The lease is given in one place, so this law is shown able to fail on a made-up step.</summary>
    [Fact]
    public void A_lease_without_a_drip_is_seen() =>
        Assert.False(Rules.Open_only_in_a_run_that_drips(new Seen(Phase.Idle, default, Phase.Idle, MonotonicTime.FromSeconds(1), default)));

    public static TheoryData<string, Trip> DeafCauses => new()
    {
        { nameof(Rules.Never_open_while_the_high_float_is_wet), Trip.HighFloat },
        { nameof(Rules.Never_open_while_the_floor_is_wet), Trip.Leak },
        { nameof(Rules.Never_open_while_a_switch_gives_no_answer), Trip.SwitchLost },
        { nameof(Rules.Never_open_while_the_log_can_not_commit), Trip.LogLost },
    };

    [Theory]
    [MemberData(nameof(DeafCauses))]
    public void A_cause_that_is_not_heard_turns_its_rule_red(string law, Trip deaf) =>
        Assert.Throws<CsCheckException>(() => Rules.Check(
            Laws[law],
            () => new SafetyWorld(
                table: (p, f) => p == Phase.Dripping && f is { Cause: Trip.None, LogCommits: false, Command: Verb.None } ? p : Interlock.Next(p, f),
                causes: (StationState s, in Readings r, bool l, MonotonicTime n) =>
                    TripCause.Of(s, r, l, n) is var cause && cause == deaf ? Trip.None : cause)));

    [Fact]
    public void A_lease_too_long_is_seen() =>
        Assert.False(Rules.A_lease_is_never_longer_than_three_seconds(
            new Seen(Phase.Dripping, default, Phase.Dripping, MonotonicTime.FromSeconds(4), default)));
}
