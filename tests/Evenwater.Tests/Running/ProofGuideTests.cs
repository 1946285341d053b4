using Evenwater.Commands;
using Evenwater.Control;

namespace Evenwater.Tests.Running;

/// <summary>What the proof test's guide tells between two parts.</summary>
public sealed class ProofGuideTests
{
    /// <summary>The daemon's words are of its last cycle: the part that comes next is named a moment before its own words are there.</summary>
    [Fact]
    public async Task The_words_of_a_part_that_is_just_done_are_not_told_of_the_next()
    {
        Queue<string> answers = new(
        [
            "wait\nlow float\nLift the low float.\n",
            "wait\nhigh float\nSeen wet. Now dry again.\nlow float seen",
            "wait\nhigh float\n\nlow float seen",
            "wait\nhigh float\nLift the high float.\nlow float seen",
            "passed\n-\nAll held.\nlow float seen, high float seen",
        ]);
        List<string> said = [];
        var guide = new ProofGuide(_ => Task.FromResult<ControlAnswer?>(new(true, answers.Dequeue())), said.Add, () => null, () => Task.CompletedTask);
        Assert.Equal(0, await guide.RunAsync(null, "Ann"));
        Assert.Equal(["low float: Lift the low float.", "  ok: low float seen", "high float: Lift the high float.", "  ok: high float seen"], said.Skip(2));
    }
}
