using Evenwater.Core.Keeping;
using Evenwater.Core.Planning;
using Evenwater.Core.Standing;
using Evenwater.Core.Stations;

namespace Evenwater.CoreTests.Planning;

public class JournalWarningsTests
{
    private static readonly DateTimeOffset Now = new(2026, 5, 1, 20, 0, 0, TimeSpan.FromHours(2));

    private static Note Noted(NoteKind kind, string text, double daysAgo) => new() { Id = "n7", Kind = kind, Text = text, By = "keeper", At = Now.AddDays(-daysAgo) };

    private static List<string> Of(Note note, AnimalGroup? group = AnimalGroup.FreshwaterShrimp) => [.. JournalWarnings.Of([note], Now, group).Select(w => w.Text)];

    private static List<string> OfTests(params Note[] tests) => [.. JournalWarnings.Of(tests, Now, AnimalGroup.FreshwaterFish).Select(w => w.Text)];

    private static Note Tested(Substance of, double value, double daysAgo, bool below = false) => Noted(NoteKind.Test, "", daysAgo) with { Test = new ManualTest { Of = of, Value = value, Step = 0.05, Below = below } };

    [Theory]
    [InlineData(NoteKind.Medication, "worming", 27, "remedies")]
    [InlineData(NoteKind.Medication, "worming", 29, null)]
    [InlineData(NoteKind.Medication, "Copper against velvet", 170, "traces of copper")]
    [InlineData(NoteKind.Medication, "Copper against velvet", 5, "traces of copper")] // and not once more as a remedy
    [InlineData(NoteKind.Arrival, "came with CO2 in the bag", 1, null)]
    [InlineData(NoteKind.Dose, "trace elements with Cu", 3, "traces of copper")]
    [InlineData(NoteKind.Dose, "trace elements with Cu", 181, null)]
    [InlineData(NoteKind.Other, "CO2 bottle changed", 60, "carbon dioxide is blown in")]
    [InlineData(NoteKind.LightChange, "cured the lamp, cupboard door", 1, null)]
    [InlineData(NoteKind.WaterChange, "a third", 1, null)]
    public void An_invertebrate_run_is_told_of_remedies_copper_and_carbon_dioxide_that_are_recent(NoteKind kind, string text, double daysAgo, string? said)
    {
        var found = Of(Noted(kind, text, daysAgo));
        if (said is null) Assert.Empty(found);
        else Assert.Contains(said, Assert.Single(found), StringComparison.Ordinal);
    }

    [Fact]
    public void The_note_is_quoted_with_its_name_and_age_and_a_long_one_cut()
    {
        Assert.StartsWith("The journal has \"worming\" (medication, n7, 5 days ago). ", Assert.Single(Of(Noted(NoteKind.Medication, "worming", 5.2))), StringComparison.Ordinal);
        Assert.Contains($"\"{new string('x', 60)}...\"", Assert.Single(Of(Noted(NoteKind.Medication, new string('x', 200), 5))), StringComparison.Ordinal);
        Assert.Contains("(medication, n7, a day ago)", Assert.Single(Of(Noted(NoteKind.Medication, "worming", 1.9))), StringComparison.Ordinal);
        Assert.Contains("(medication, n7, within a day)", Assert.Single(Of(Noted(NoteKind.Medication, " worming\n", 0.9))), StringComparison.Ordinal);
        Assert.StartsWith("The journal has \"5 mL\" (medication", Assert.Single(Of(Noted(NoteKind.Medication, "", 5) with { Amount = 5, Unit = "mL" })), StringComparison.Ordinal);
        Assert.Contains("without a date", Assert.Single(Of(Noted(NoteKind.Medication, "worming", 5) with { At = null })), StringComparison.Ordinal);
    }

    [Fact]
    public void Fish_are_not_warned_of_what_only_invertebrates_mind_and_animals_of_no_group_are()
    {
        Assert.Empty(Of(Noted(NoteKind.Medication, "worming", 5), AnimalGroup.Catfish));
        Assert.Single(Of(Noted(NoteKind.Medication, "worming", 5), null));
        AnimalGroup[] backbones = [AnimalGroup.FreshwaterFish, AnimalGroup.MarineFish, AnimalGroup.RedDrumFingerlings, AnimalGroup.Catfish, AnimalGroup.BassFry];
        Assert.All(Enum.GetValues<AnimalGroup>(), group => Assert.Equal(backbones.Contains(group), Of(Noted(NoteKind.Medication, "copper", 5), group).Count == 0));
    }

    [Fact]
    public void A_note_of_the_future_says_nothing() => Assert.Empty(Of(Noted(NoteKind.Medication, "worming", -2)));

    [Fact]
    public void The_latest_test_of_ammonia_and_nitrite_counts_and_only_a_recent_one()
    {
        Assert.Equal("The tank's nitrite was 0.25 mg/L 3 days ago (n7): it should be 0 before animals go in.", Assert.Single(OfTests(Tested(Substance.Nitrite, 0.25, 3))));
        Assert.Equal(2, OfTests(Tested(Substance.Nitrite, 0.1, 0.5), Tested(Substance.TotalAmmonia, 0.5, 1.5)).Count);
        Assert.Empty(OfTests(Tested(Substance.Nitrite, 0.25, 3), Tested(Substance.Nitrite, 0, 1)));
        Assert.Empty(OfTests(Tested(Substance.Nitrite, 0.05, 1, below: true)));
        Assert.Empty(OfTests(Tested(Substance.Nitrite, 0.25, 15)));
        Assert.Empty(OfTests(Tested(Substance.Nitrate, 20, 1)));
    }
}
