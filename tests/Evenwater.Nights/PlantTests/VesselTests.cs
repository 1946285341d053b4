using CsCheck;
using Evenwater.Nights.Plant;

namespace Evenwater.Nights.PlantTests;

public sealed class VesselTests
{
    [Fact]
    public void Salt_and_water_are_kept_whatever_is_poured_taken_exchanged_and_evaporated() =>
        Gen.Select(Gen.Double[0.02, 0.45], Gen.Double[0.02, 0.45], Gen.Select(Gen.Int[0, 3], Gen.Int[0, 2], Gen.Double[0, 0.05]).Array[1, 200]).Sample((surface, floor, steps) =>
        {
            var vessel = new Vessel(2, 500, 20, surface, floor);
            var (salt, litres) = (1000.0, 2.0);
            foreach (var (act, zone, amount) in steps)
            {
                switch (act)
                {
                    case 0:
                        vessel.Pour(zone, amount, 200, 25);
                        salt += 200 * amount;
                        litres += amount;
                        break;
                    case 1 when vessel.Litres > 1:
                        var taken = amount * 0.1;
                        salt -= taken * vessel.In(zone);
                        litres -= taken;
                        vessel.Take(zone, taken);
                        break;
                    case 2:
                        vessel.Exchange(zone, (zone + 1) % 3, amount * 20);
                        break;
                    default:
                        vessel.Evaporate(amount * 0.01);
                        litres -= amount * 0.01;
                        break;
                }
            }

            Assert.Equal(salt, vessel.Salt, salt * 1e-9);
            Assert.Equal(litres, vessel.Litres, litres * 1e-9);
            Assert.Equal(vessel.Salt, vessel.Litres * ((surface * vessel.In(0)) + ((1 - surface - floor) * vessel.In(1)) + (floor * vessel.In(2))), salt * 1e-9);
        });

    [Fact]
    public void Zones_left_alone_keep_their_difference_and_stirred_ones_lose_it()
    {
        var vessel = new Vessel(2, 500, 20, 0.2, 0.1);
        vessel.Pour(Vessel.Surface, 0.2, 100, 20);
        Assert.True(vessel.In(Vessel.Surface) < vessel.In(Vessel.Body) - 20);
        var mean = vessel.Mean;
        vessel.Stir();
        Assert.All(new[] { Vessel.Surface, Vessel.Body, Vessel.Floor }, zone => Assert.Equal(mean, vessel.In(zone), 1e-9));
    }

    [Fact]
    public void Warm_drip_brings_its_heat()
    {
        var vessel = new Vessel(2, 500, 20, 0.2, 0.1);
        vessel.Pour(Vessel.Surface, 2, 500, 30);
        Assert.Equal(25, vessel.Celsius, 1e-9);
    }
}
