using Evenwater.Nights.Plant;
using Evenwater.Nights.Scoring;

namespace Evenwater.Nights;

/// <summary>Nights of our own making, so that nothing is judged on the 24 development nights alone.</summary>
public sealed class PlainNights(ITestOutputHelper output)
{
    private static readonly string[] Kinds = ["nominal", "marine", "unequal-waters", "drop-counter"];

    [Fact]
    public void On_forty_nights_of_our_own_the_intervals_hold_and_the_loss_is_below_the_hand_calculation()
    {
        var nights = Kinds.SelectMany(kind => Enumerable.Range(1, 10).Select(seed => PlantKinds.Named(kind).Make(seed))).ToArray();
        var judged = Judge.All(nights, WithEstimator.Forecast);
        var byHand = HandCalculation.Spreads.Select(spread => Judge.All(nights, HandCalculation.WithSpread(spread))).MinBy(Table.MeanLoss)!;
        output.WriteLine(Table.ByFamily(judged, byHand));
        Assert.InRange(judged.Count, 60, 240);
        Assert.InRange(Table.Coverage(judged), 0.80, 1);
        Assert.True(Table.MeanLoss(judged) < Table.MeanLoss(byHand));
    }
}
