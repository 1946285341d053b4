using Evenwater.Core.Scoring;
using Evenwater.Nights.Scoring;

namespace Evenwater.Nights;

/// <summary>The 24 development nights, read and forecast once for all tests of this class.</summary>
public sealed class DevelopmentNightsFixture
{
    public IReadOnlyList<Night> Nights { get; } = Night.ReadAll(Path.Combine(AppContext.BaseDirectory, "traces"));

    public IReadOnlyList<Judgement> Judged => field ??= Judge.All(Nights, AsForecast);

    private readonly Dictionary<string, IReadOnlyList<Call>> _calls = [];

    /// <summary>The estimator's forecast of one of these nights.</summary>
    public IReadOnlyList<Call> AsForecast(Night night)
    {
        lock (_calls)
        {
            return _calls.TryGetValue(night.Name, out var calls) ? calls : _calls[night.Name] = WithEstimator.Forecast(night);
        }
    }

    /// <summary>The keeper is given whichever constant spread suits these very nights best: a harder opponent than a real one.</summary>
    public IReadOnlyList<Judgement> ByHand => field ??= HandCalculation.Spreads
        .Select(spread => Judge.All(Nights, HandCalculation.WithSpread(spread)))
        .MinBy(Table.MeanLoss)!;
}

/// <summary>Shared by the classes that judge: forecasting the nights takes seconds.</summary>
[CollectionDefinition(nameof(Development))]
public sealed class Development : ICollectionFixture<DevelopmentNightsFixture>;

[Collection(nameof(Development))]
public sealed class DevelopmentNights(DevelopmentNightsFixture fixture, ITestOutputHelper output)
{
    [Fact]
    public void Nine_in_ten_intervals_hold_the_truth_at_least_eight_times_in_ten()
    {
        output.WriteLine(Table.ByFamily(fixture.Judged, fixture.ByHand));
        Save("development-nights.csv", Table.Csv(fixture.Judged));
        Assert.Equal(24, fixture.Nights.Count);
        Assert.InRange(Table.Coverage(fixture.Judged), 0.80, 1.0);
    }

    [Fact]
    public void The_forecast_loses_less_than_the_hand_calculation()
    {
        foreach (var name in new[] { "brim", "match" })
        {
            var loss = Table.MeanLoss(fixture.Judged.Where(j => j.Event == name));
            var byHand = Table.MeanLoss(fixture.ByHand.Where(j => j.Event == name));
            output.WriteLine($"{name}: {loss:0.000}, by hand {byHand:0.000}");
            Assert.True(loss < byHand, $"{name}: {loss} is not below {byHand}");
        }
    }

    private static void Save(string name, string text)
    {
        var folder = Path.Combine(AppContext.BaseDirectory, "TestResults");
        Directory.CreateDirectory(folder);
        File.WriteAllText(Path.Combine(folder, name), text);
    }
}
