using Evenwater.Core;
using Evenwater.Keeping;
using Evenwater.Page;
using Evenwater.Page.Charts;

namespace Evenwater.Tests.Page;

public class RoundingTests
{
    /// <summary>A DS18B20 reads in sixteenths of a degree (its data sheet, 12 bits), so one reading in sixteen lies between two tenths: sentences told 25.3, the tables 25.2.</summary>
    [Fact]
    public void A_half_is_told_alike_in_tables_and_in_sentences()
    {
        var said = FormattableString.Invariant($"{25.25:0.0}");
        Assert.Equal(said, new ValueLine("Tank temperature", 25.25, "°C", 1) { Decimals = 1 }.Shown);
        Assert.Equal(said, TankText.Number(25.25, 1));
        Assert.Equal(FormattableString.Invariant($"{50.5:0}"), ChannelLook.Of(Channel.TankConductivity).Text(50.5));
    }
}
