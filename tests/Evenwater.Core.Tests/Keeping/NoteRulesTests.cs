using Evenwater.Core.Calibration;
using Evenwater.Core.Keeping;
using Evenwater.Core.Standing;

namespace Evenwater.CoreTests.Keeping;

public class NoteRulesTests
{
    private static readonly DateTimeOffset Noon = new(2026, 3, 14, 12, 0, 0, TimeSpan.Zero);
    private static readonly Note Fine = new() { Kind = NoteKind.WaterChange, By = "Ann", Text = "gravel cleaned", Litres = 20, At = Noon.AddHours(-3) };
    private static readonly Book Written = Book.Of(
    [
        Fine with { Id = "n1" }, Fine with { Id = "n2", Corrects = "n1", Litres = 24 }, Fine with { Id = "n3" }, Fine with { Id = "n4", Corrects = "n3", Withdrawn = true },
    ]);

    [Fact]
    public void What_is_in_order_may_be_written()
    {
        Assert.Empty(NoteRules.Problems(Fine, Written, Noon));
        Assert.Empty(NoteRules.Problems(Fine with { Text = "", Corrects = "n2" }, Written, Noon));
        Assert.Empty(NoteRules.Problems(Fine with { Corrects = "n4" }, Written, Noon));
        Assert.Empty(NoteRules.Problems(Fine with { Corrects = "n2", Withdrawn = true, Text = "", Litres = null }, Written, null));
        Assert.Empty(NoteRules.Problems(new() { Kind = NoteKind.Feed, By = "Ann", Amount = 2, Unit = "portions" }, Written, Noon));
        Assert.Empty(NoteRules.Problems(new() { Kind = NoteKind.Other, By = "Ann", Text = "two\nlines" }, Written, Noon));
        Assert.Empty(NoteRules.Problems(new() { Kind = NoteKind.Calibration, By = "Ann", Calibration = Record }, Written, Noon));
    }

    /// <summary>In a line of a list a name with a line end broke it, and one with U+202E (Unicode, UAX #9: right-to-left override) turned around what followed. Letters written from the right are a name like any other.</summary>
    [Theory]
    [InlineData("Åsa", true)]
    [InlineData("דנה כהן", true)]
    [InlineData("أمل", true)]
    [InlineData("An\nn", false)]
    [InlineData("\u202EAnn", false)]
    [InlineData("Ann\u2067", false)]
    [InlineData("\u202AAnn", false)]
    [InlineData("Ann\u2066", false)]
    [InlineData("Ann\u2069", false)]
    [InlineData("Ann\u202FB", true)] // a narrow space that does not break
    public void A_name_that_would_spoil_the_line_it_stands_in_is_refused(string name, bool fine)
    {
        Assert.Equal(fine, NoteRules.Problems(Fine with { By = name }, Written, Noon).Count == 0);
        Assert.Equal(fine, new ArrivalRecord { Species = name, Count = 1 }.Problems().Count == 0);
        Assert.Equal(fine, NoteRules.Problems(new() { Kind = NoteKind.Trouble, By = "Ann", Trouble = new(TroubleStep.Opened, name) }, Written, Noon).Count == 0);
    }

    [Fact] // ten minutes are let pass to another clock
    public void What_another_clock_says_a_little_ahead_is_no_plan()
    {
        Assert.Empty(NoteRules.Problems(Fine with { At = Noon.AddMinutes(10) }, Written, Noon));
        Assert.Single(NoteRules.Problems(Fine with { At = Noon.AddMinutes(10.1) }, Written, Noon));
        Assert.Empty(NoteRules.Problems(Fine with { At = Noon.AddYears(1) }, Written, null)); // a clock that was never set says nothing
    }

    [Theory]
    [InlineData(NoteKind.TopOff, 3.0, null, null)]
    [InlineData(NoteKind.Medication, null, 5.0, "mL")]
    [InlineData(NoteKind.Dose, null, 5.0, "g")]
    [InlineData(NoteKind.LightChange, null, 2.0, "h")]
    [InlineData(NoteKind.NewAnimals, null, 6.0, "animals")]
    public void What_goes_with_a_kind_may_be_told_with_it(NoteKind kind, double? litres, double? amount, string? unit) =>
        Assert.Empty(NoteRules.Problems(new() { Kind = kind, By = "Ann", Litres = litres, Amount = amount, Unit = unit }, Written, Noon));

    [Fact] // a name is the picture's SHA-256, 64 digits of 0 to 9 and a to f
    public void A_photograph_is_named_by_its_own_sum_once_and_only_while_it_is_kept()
    {
        string a = string.Concat(Enumerable.Repeat("0123456789abcdef", 4)), b = new('f', 64), c = new('0', 64), d = new('9', 64), e = new('a', 64);
        Assert.Empty(Wrong([a, b, c, d]));
        Assert.Contains("up to 4", Assert.Single(Wrong([a, b, c, d, e])), StringComparison.Ordinal);
        foreach (var name in new[] { a[1..], a + "0", a.ToUpperInvariant(), a[1..] + "g", a[1..] + "/", a[1..] + ":", a[1..] + "`" }) Assert.Contains("names of photographs that are kept here", Assert.Single(Wrong([name])), StringComparison.Ordinal);
        Assert.Equal(2, Wrong([a, a]).Count);
        Assert.Single(Wrong([a, b], kept: [a]));
        Assert.Empty(Wrong([b], kept: [b]));

        // It was deleted since; a correction may go on naming it, another note may not.
        var book = Book.Of([Fine with { Id = "n1", Photographs = [a] }]);
        Assert.Empty(NoteRules.Problems(Fine with { Corrects = "n1", Photographs = [a] }, book, Noon, _ => false));
        Assert.Single(NoteRules.Problems(Fine with { Corrects = "n1", Photographs = [b] }, book, Noon, _ => false));
        Assert.Single(NoteRules.Problems(Fine with { Photographs = [a] }, book, Noon, _ => false));
        Assert.Contains("only takes another back", Assert.Single(NoteRules.Problems(Fine with { Corrects = "n1", Withdrawn = true, Photographs = [a] }, book, Noon)).ToString(), StringComparison.Ordinal);
        Assert.Empty(NoteRules.Problems(Fine with { Corrects = "n1", Withdrawn = true, Photographs = [] }, book, Noon));

        // A picture alone says enough.
        Assert.Empty(NoteRules.Problems(new() { Kind = NoteKind.Other, By = "Ann", Photographs = [a] }, book, Noon));
        Assert.Single(NoteRules.Problems(new() { Kind = NoteKind.Other, By = "Ann", Photographs = [] }, book, Noon));

        static List<string> Wrong(string[] names, string[]? kept = null) =>
            [.. NoteRules.Problems(Fine with { Photographs = names }, Written, Noon, kept is null ? null : kept.Contains).Select(problem => problem.ToString())];
    }

    public static TheoryData<string, string> Wrong => new()
    {
        { "kind", "none" },
        { "text", "1000" }, { "text", "control" }, { "text", "1 to 1000" },
        { "by", "1 to 64" }, { "by", "64" }, { "by", "plain" },
        { "at", "not after now" }, { "at", "2000-01-01" },
        { "litres", "above 0" }, { "litres", "20000" }, { "litres", "water-change and top-off" },
        { "amount", "above 0" }, { "unit", "a unit with an amount" }, { "unit", "no amount with water-change" }, { "unit", "mL, g, mg, drops" },
        { "corrects", "a note of this station's book" }, { "corrects", "n2, which has taken its place" },
        { "withdrawn", "with the note that is taken back" }, { "withdrawn", "a note that stands" },
        { "calibration", "with a note of kind calibration" }, { "calibration", "only there" }, { "calibration.due", "later than" }, { "kind", "Take the other back" },
        { "arrival", "with a note of kind arrival" }, { "outcome", "only there" }, { "ph", "4 to 10" }, { "of", "an arrival that stands" },
    };

    [Theory]
    [MemberData(nameof(Wrong))]
    public void What_is_not_is_refused_by_key_value_range_and_advice(string key, string says)
    {
        var problem = Assert.Single(NoteRules.Problems(Spoilt[(key, says)], Written, Noon));
        Assert.Equal(key, problem.Key);
        Assert.Contains(says, problem.ToString(), StringComparison.Ordinal);
        Assert.NotEmpty(problem.Value);
        Assert.NotEmpty(problem.Allowed);
        Assert.NotEmpty(problem.Advice);
    }

    private static Dictionary<(string Key, string Says), Note> Spoilt => new()
    {
        [("kind", "none")] = new Note { Kind = NoteKind.None, By = "Ann", Text = "x" },
        [("text", "1000")] = Fine with { Text = new string('x', 1001) },
        [("text", "control")] = Fine with { Text = "a\u001b[2Jb" },
        [("text", "1 to 1000")] = new Note { Kind = NoteKind.Trim, By = "Ann", Text = " " },
        [("by", "1 to 64")] = Fine with { By = " " },
        [("by", "64")] = Fine with { By = new string('x', 65) },
        [("by", "plain")] = Fine with { By = "A\nnn" },
        [("at", "not after now")] = Fine with { At = Noon.AddMinutes(11) },
        [("at", "2000-01-01")] = Fine with { At = new DateTimeOffset(1999, 12, 31, 23, 0, 0, TimeSpan.Zero) },
        [("litres", "above 0")] = Fine with { Litres = 0 },
        [("litres", "20000")] = Fine with { Litres = double.NaN },
        [("litres", "water-change and top-off")] = Fine with { Kind = NoteKind.Trim },
        [("amount", "above 0")] = new Note { Kind = NoteKind.Dose, By = "Ann", Amount = -5, Unit = "mL" },
        [("unit", "a unit with an amount")] = new Note { Kind = NoteKind.Dose, By = "Ann", Amount = 5 },
        [("unit", "no amount with water-change")] = Fine with { Amount = 5, Unit = "mL" },
        [("unit", "mL, g, mg, drops")] = new Note { Kind = NoteKind.Dose, By = "Ann", Amount = 5, Unit = "buckets" },
        [("corrects", "a note of this station's book")] = Fine with { Corrects = "n77" },
        [("corrects", "n2, which has taken its place")] = Fine with { Corrects = "n1" },
        [("withdrawn", "with the note that is taken back")] = Fine with { Withdrawn = true },
        [("withdrawn", "a note that stands")] = Fine with { Corrects = "n4", Withdrawn = true },
        [("calibration", "with a note of kind calibration")] = new Note { Kind = NoteKind.Calibration, By = "Ann", Text = "x" },
        [("calibration", "only there")] = Fine with { Calibration = Record },
        [("calibration.due", "later than")] = new Note { Kind = NoteKind.Calibration, By = "Ann", Calibration = Record with { Due = Noon } },
        [("arrival", "with a note of kind arrival")] = new Note { Kind = NoteKind.Arrival, By = "Ann", Text = "x" },
        [("outcome", "only there")] = Fine with { Outcome = new() { Look = Look.Day } },
        [("ph", "4 to 10")] = new Note { Kind = NoteKind.Arrival, By = "Ann", Arrival = new() { Species = "snails", Count = 3, Ph = 15 } },
        [("of", "an arrival that stands")] = new Note { Kind = NoteKind.Outcome, By = "Ann", Outcome = new() { Look = Look.Day, Arrival = "n1" } },
        [("kind", "Take the other back")] = new Note { Kind = NoteKind.Calibration, By = "Ann", Corrects = "n2", Calibration = Record },
    };

    private static CalibrationRecord Record => new("vessel-conductivity", Noon, "Ann", "", [new("sensors.vesselConductivity.cellConstantPerCm", "1/cm", 1, 1.01, 0.01)], Noon.AddDays(30));
}
