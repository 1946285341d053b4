using Evenwater.Commands;
using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;
using Evenwater.Keeping;
using Evenwater.Tests.Running;

namespace Evenwater.Tests.Keeping;

public class ArrivalAskTests
{
    private static readonly DateTimeOffset Now = new(2026, 11, 28, 20, 0, 0, TimeSpan.Zero);
    private static readonly ArrivalAsk Nothing = new() { By = "Ann" };
    private static readonly Note Came = new() { Id = "n1", Kind = NoteKind.Arrival, By = "Bea", At = Now.AddDays(-2), Arrival = new() { Species = "rice fish", Count = 6, Ph = 6.8 } };
    private static readonly Note Released = new() { Id = "n2", Kind = NoteKind.Outcome, By = "Bea", At = Now.AddHours(-30), Outcome = new() { Arrival = "n1", Run = 4, Look = Look.Release, Alive = 6 } };

    [Fact]
    public void An_arrival_takes_everything_from_its_options()
    {
        var (note, problem) = (Nothing with
        {
            Add = "pond snails", Count = 12, Grams = 18, Group = "freshwaterShrimp", Hours = 20, Conductivity = 410, Temperature = 19.5, Ph = 6.8, Ammonia = 3, Nitrite = 0.1, Text = "one open", At = "2026-11-28T08:00Z",
        }).Note(Book.Of([]), Clock);
        Assert.Null(problem);
        Assert.Equal(
            new Note
            {
                Kind = NoteKind.Arrival, By = "Ann", Text = "one open", At = Now.AddHours(-12),
                Arrival = new()
                {
                    Species = "pond snails", Count = 12, Grams = 18, Group = AnimalGroup.FreshwaterShrimp, HoursInTransit = 20, MicrosiemensPerCm = 410, Celsius = 19.5, Ph = 6.8,
                    TotalAmmoniaMilligramsPerLitre = 3, NitriteMilligramsPerLitre = 0.1,
                },
            },
            note);
    }

    [Fact]
    public void An_outcome_is_of_the_latest_arrival_unless_it_says_which_and_a_correction_takes_over_the_rest()
    {
        var book = Book.Of([Came, Released]);
        Assert.Equal(new OutcomeRecord { Arrival = "n1", Look = Look.Day, Alive = 5, Dead = 1 }, (Nothing with { Outcome = "24h", Alive = 5, Dead = 1 }).Note(book, Clock).Note!.Outcome);
        var corrected = (Nothing with { Correct = "n2", Dead = 0 }).Note(book, Clock).Note!;
        Assert.Equal(("n2", Released.At, new OutcomeRecord { Arrival = "n1", Run = 4, Look = Look.Release, Alive = 6, Dead = 0 }), (corrected.Corrects, corrected.At, corrected.Outcome));
        var arrival = (Nothing with { Correct = "n1", Count = 7 }).Note(book, Clock).Note!;
        Assert.Equal(Came.Arrival! with { Count = 7 }, arrival.Arrival);
        Assert.Contains("--of = (not said)", (Nothing with { Outcome = "7d" }).Note(Book.Of([]), Clock).Problem, StringComparison.Ordinal);
        Assert.Contains("--correct = n9", (Nothing with { Correct = "n9" }).Note(book, Clock).Problem, StringComparison.Ordinal);
    }

    [Fact] // new ones in their bag, beside those whose day is over
    public void Who_says_no_arrival_means_the_one_whose_look_is_due_or_that_is_still_to_be_let_in()
    {
        var book = Book.Of([Came, Released, Came with { Id = "n3", At = Now.AddHours(-1) }]);
        Assert.Equal("n1", (Nothing with { Outcome = "24h" }).Note(book, Clock).Note!.Outcome!.Arrival);
        Assert.Equal("n1", (Nothing with { Outcome = "7d" }).Note(book, Clock).Note!.Outcome!.Arrival); // not due yet, and of none but these
        Assert.Equal("n3", (Nothing with { Outcome = "release" }).Note(book, Clock).Note!.Outcome!.Arrival);
    }

    /// <summary>Let in and noted by hand before the run was ended: the count at its end stands in place of that.</summary>
    [Fact]
    public void A_count_at_the_end_of_a_run_corrects_a_release_that_was_noted_before()
    {
        var book = Book.Of([Came, Released]);
        var counted = FinishCommand.Release(Arrivals.Find(book, "n1"), Released with { Text = "lively" }, 5, 1, "Ann");
        Assert.Empty(NoteRules.Problems(counted, book, Now));
        Assert.Equal(("n2", "lively", new OutcomeRecord { Arrival = "n1", Run = 4, Look = Look.Release, Alive = 5, Dead = 1 }), (counted.Corrects, counted.Text, counted.Outcome));
        Assert.Null(FinishCommand.Release(Arrivals.Find(book, "n1"), null, 5, 1, "Ann").Corrects);
        Assert.Null(FinishCommand.NobodyIsAsked(Arrivals.Find(book, "n1")));
        Assert.Contains("this release asks for no look", FinishCommand.NobodyIsAsked(null), StringComparison.Ordinal); // a count of animals that are in no arrival falls due nowhere; those let in before are asked for all the same
    }

    [Fact]
    public void What_does_not_go_together_is_refused()
    {
        ArrivalAsk[] wrong =
        [
            Nothing with { Add = "x", Outcome = "24h" }, Nothing with { Outcome = "3d" }, Nothing with { Add = "x" }, Nothing with { Add = "x", Count = 1, Group = "dragons" },
            Nothing with { Outcome = "24h", Ph = 7 }, Nothing with { Add = "x", Count = 1, Alive = 1 }, Nothing with { Ph = 7 }, Nothing with { Alive = 3 },
        ];
        Assert.All(wrong, ask => Assert.Contains("--", ask.Problem, StringComparison.Ordinal));
        Assert.Null(Nothing.Problem);
    }

    [Fact]
    public void The_list_tells_what_is_due_and_how_to_note_it()
    {
        var lines = ArrivalText.Of(Arrivals.Of(Book.Of([Came, Released])).Single(), TimeZoneInfo.Utc, Now).ToList();
        Assert.Equal(
            [
                "n1    2026-11-26 20:00  arrival       6 x rice fish, pH 6.8  (Bea)",
                "      n2    2026-11-27 14:00  outcome       release: alive 6, dead not counted  (Bea)",
                "      DUE since 2026-11-28 14:00: look at them, then evenwater arrival --outcome 24h --of n1 --alive N --dead N",
                "      7d is due at 2026-12-04 14:00",
            ],
            lines);
    }

    private static SetTime Clock => new(Now, TimeZoneInfo.Utc);
}
