namespace Evenwater.Core.Stations;

/// <summary>Kinds of animals of which something is known or practised about what they may be put through; see <see cref="Core.Safety.AnimalLimits"/>.</summary>
public enum AnimalGroup
{
    /// <summary>Fish of fresh water in general.</summary>
    FreshwaterFish,

    /// <summary>Fish of salt water in general.</summary>
    MarineFish,

    /// <summary>Invertebrates of salt water in general.</summary>
    MarineInvertebrates,

    /// <summary>Fingerlings of the red drum, Sciaenops ocellatus.</summary>
    RedDrumFingerlings,

    /// <summary>Postlarvae of the whiteleg shrimp, Penaeus vannamei, 10 to 20 days old.</summary>
    WhitelegShrimpPostlarvae,

    /// <summary>The fleshy prawn, Penaeus chinensis.</summary>
    FleshyPrawn,

    /// <summary>Small shrimps of fresh water, as Palaemonetes antennarius.</summary>
    FreshwaterShrimp,

    /// <summary>Prawns of fresh water, Macrobrachium, and their postlarvae.</summary>
    FreshwaterPrawn,

    /// <summary>Catfish.</summary>
    Catfish,

    /// <summary>Fry of bass.</summary>
    BassFry,

    /// <summary>What toxicity tests are made with, as their guidance acclimates it.</summary>
    TestOrganisms,
}
