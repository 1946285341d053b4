using Evenwater.Followers;

namespace Evenwater.Tests.Followers;

public sealed class AcknowledgedTests
{
    private readonly SetTime _time = new();

    [Fact]
    public void What_was_acknowledged_is_relied_on_only_after_a_while()
    {
        var place = new Acknowledged(100, TimeSpan.FromSeconds(15), _time);
        place.Add(200);
        _time.Seconds = 10;
        place.Add(300);
        Assert.Equal((300, 100, false), (place.Last, place.Settled, place.AllSettled));
        _time.Seconds = 15;
        Assert.Equal((300, 200, false), (place.Last, place.Settled, place.AllSettled));
        _time.Seconds = 25;
        Assert.Equal((300, 300, true), (place.Last, place.Settled, place.AllSettled));
    }

    [Fact]
    public void A_server_that_may_have_died_is_sent_again_what_had_not_settled_by_then_however_long_it_is_away()
    {
        var place = new Acknowledged(0, TimeSpan.FromSeconds(15), _time);
        place.Add(200);
        _time.Seconds = 10;
        place.Add(300);
        _time.Seconds = 16;
        place.Doubt();
        _time.Seconds = 1000;
        Assert.Equal(200, place.Settled);
        Assert.Equal(200, place.Sent);
        place.GoBackWhenInDoubt();
        Assert.Equal((200, 200), (place.Last, place.Settled));
        place.Add(300);
        Assert.Equal(300, place.Sent);
    }

    [Fact]
    public void A_server_that_closes_every_connection_still_gets_on_and_a_second_death_is_not_forgotten()
    {
        var place = new Acknowledged(0, TimeSpan.FromSeconds(15), _time);
        var (furthest, again) = (0L, 0L);
        for (_time.Seconds = 0; _time.Seconds < 100; _time.Seconds += 1)
        {
            place.GoBackWhenInDoubt();
            again += place.Last < furthest ? 1 : 0;
            place.Add(place.Last + 100);
            place.Doubt();
            furthest = Math.Max(furthest, place.Last);
        }

        Assert.True(furthest >= 1500, $"only {furthest} after 100 batches of 100");
        Assert.InRange(again, 1, 100);
        Assert.True(place.Settled < furthest);
    }

    private sealed class SetTime : TimeProvider
    {
        public double Seconds { get; set; }

        public override long TimestampFrequency => 1000;

        public override long GetTimestamp() => (long)(Seconds * 1000);
    }
}
