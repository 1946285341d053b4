using Evenwater.Core.Alarms;

namespace Evenwater.CoreTests.Alarms;

/// <summary>
/// The table against ISA-18.2's state diagram, written out by hand as implementers of it tell it: rows are states A to I, columns events. "!" calls a
/// person, "-" is rejected, "x|y" is without and with latching, "x/y" is clear and active, "?" only when the alarm may be silenced, "~" only when clear.
/// The one cell that is not of the diagram is B on re-alarm: an alarm that nobody has seen calls again and stays where it is.
/// </summary>
public class AlarmTransitionsTests
{
    private const string Diagram = """
          Came  Went  Acknowledge ReAlarm Reset Shelve Unshelve Suppress Unsuppress Retire Return
        A B!    -     -           -       -     G?     -        H        -          I?     -
        B -     D|E   C           B!      -     G?     -        H        -          I?     -
        C -     A|F   -           B!      -     G?     -        H        -          I?     -
        D B!    -     A           -       -     G?     -        H        -          I?     -
        E B!    -     F           -       -     G?     -        H        -          I?     -
        F B!    -     -           -       A~    G?     -        H        -          I?     -
        G -     -     -           -       -     -      A/B!     -        -          -      -
        H -     -     -           -       -     -      -        -        A/B!       -      -
        I -     -     -           -       -     -      -        -        -          -      A/B!
        """;

    private static readonly string[][] s_rows = [.. Diagram.Split('\n').Select(line => line.Split(' ', StringSplitOptions.RemoveEmptyEntries))];

    public static TheoryData<AlarmStanding, AlarmEvent> Pairs
    {
        get
        {
            var pairs = new TheoryData<AlarmStanding, AlarmEvent>();
            foreach (var standing in Enum.GetValues<AlarmStanding>())
            {
                foreach (var happened in Enum.GetValues<AlarmEvent>())
                {
                    pairs.Add(standing, happened);
                }
            }

            return pairs;
        }
    }

    [Fact]
    public void The_diagram_has_every_state_and_every_event_in_order()
    {
        Assert.Equal(Enum.GetNames<AlarmEvent>(), s_rows[0]);
        Assert.Equal(Enum.GetValues<AlarmStanding>().Select(Letter), s_rows.Skip(1).Select(row => row[0][0]));
        Assert.All(s_rows.Skip(1), row => Assert.Equal(12, row.Length));
        Assert.Equal(99, Pairs.Count);
    }

    [Theory]
    [MemberData(nameof(Pairs))]
    public void Every_state_and_event_goes_where_the_diagram_says(AlarmStanding standing, AlarmEvent happened)
    {
        var cell = s_rows[1 + (int)standing][1 + (int)happened];
        foreach (var facts in Facts())
        {
            var (next, outcome) = AlarmTransitions.Next(standing, happened, facts);
            var expected = Expected(cell, facts) is "-" ? $"{Letter(standing)}-" : Expected(cell, facts);
            Assert.Equal(expected, Letter(next) + outcome switch { AlarmOutcome.Annunciates => "!", AlarmOutcome.Rejected => "-", _ => "" });
        }
    }

    [Fact]
    public void What_is_no_standing_at_all_calls_a_person() => Assert.All(
        Enum.GetValues<AlarmEvent>(),
        happened => Assert.Equal((AlarmStanding.Unacknowledged, AlarmOutcome.Annunciates), AlarmTransitions.Next((AlarmStanding)77, happened, default)));

    private static IEnumerable<AlarmFacts> Facts() =>
        from active in new[] { false, true } from latches in new[] { false, true } from silenced in new[] { false, true } select new AlarmFacts(active, latches, silenced);

    private static string Expected(string cell, AlarmFacts facts) => cell switch
    {
        [.. var to, '?'] => facts.MayBeSilenced ? to : "-",
        [.. var to, '~'] => facts.Active ? "-" : to,
        [var plain, '|', var latched] => facts.Latches ? $"{latched}" : $"{plain}",
        [var clear, '/', .. var active] => facts.Active ? active : $"{clear}",
        _ => cell,
    };

    private static char Letter(AlarmStanding standing) => (char)('A' + (int)standing);

    [Fact] // ISA-18.2's words for the states A to I of its diagram, from memory; one without a word would end every command that tells of it
    public void Every_standing_has_the_standard_s_word() => Assert.Equal(
        ["normal", "unacknowledged", "acknowledged", "returned, unacknowledged", "latched, unacknowledged", "latched, acknowledged", "shelved", "suppressed by design", "out of service"],
        Enum.GetValues<AlarmStanding>().Select(AlarmSentence.Word));
}
