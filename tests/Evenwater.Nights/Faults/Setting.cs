using Evenwater.Hardware.Rig;

namespace Evenwater.Nights.Faults;

/// <summary>With which layers a night is rehearsed.</summary>
internal sealed record Setting(string Name, Layers Layers)
{
    public static Setting All { get; } = new("all layers", Layers.All);

    public static Setting SoftwareAlone { get; } = new("software alone", Layers.SoftwareAlone);

    /// <summary>One layer away after another. The catch needs no night of its own: it changes nothing but what is done with what was spilled.</summary>
    public static IReadOnlyList<Setting> OneAway { get; } =
        [.. new[] { "intake", "valve", "float", "driver", "program" }.Select(Without)];

    public static Setting Without(string layer) => new($"without the {layer}", Layers.All & ~Enum.Parse<Layers>(layer, ignoreCase: true));
}
