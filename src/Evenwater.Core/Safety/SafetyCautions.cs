namespace Evenwater.Core.Safety;

/// <summary>One caution.</summary>
/// <param name="Topic">A few words that README.md and hardware/README.md use too.</param>
/// <param name="Text">What to mind.</param>
public readonly record struct SafetyCaution(string Topic, string Text);

/// <summary>
/// The cautions, in the one place where the program has words for them: plan and begin tell them before a station's first run, the page until they
/// are dismissed. General practice; README.md has the long list.
/// </summary>
public static class SafetyCautions
{
    /// <summary>What stands above them.</summary>
    public const string Title = "Before you rely on this";

    /// <summary>Whose word counts for more.</summary>
    public const string Defers = "People can be killed by mains electricity near water, and homes ruined by small leaks. Local electrical and plumbing codes, and the licensed people who apply them, override everything here.";

    /// <summary>All of them.</summary>
    public static IReadOnlyList<SafetyCaution> All { get; } =
    [
        new("Not a safety device", "Hobby control software, certified by nobody. A normally-closed valve, a high float in series with its coil and an intake too shallow to flood the vessel must work without it."),
        new("Extra-low voltage", "Everything wet or within reach of water runs at 12 V DC or less from an isolated, double-insulated supply. Nothing here switches mains."),
        new("GFCI", "Put every mains outlet here on a GFCI or 30 mA RCD and press its test button monthly. It lowers the risk; it does not make wet mains safe."),
        new("Unplug", "Unplug all mains equipment in or on the water, with dry hands, before hands go in. Switching off in software is no isolation."),
        new("Drip loop", "Every cable hangs lower than its socket before it rises to it. Supplies and computer stand above and beside water and hoses, never below."),
        new("Backflow", "An air gap at every hose end; no drinking-water plumbing without approved backflow protection. Water that animals travelled in never goes into the tank."),
        new("Burn", "A valve's coil gets hot, and a heater that falls dry can start a fire: give it an over-temperature cut-out of its own."),
        new("Children and animals", "Keep them away from cables, vessel and valve. Label the plug to pull and the hose to clamp for the others at home. Cover the vessel, but let air in."),
        new("Unattended", "Watch one full run of a new or changed set-up first, in plain water; then short absences. Alerts may be late or lost: a silent telephone does not mean all is well."),
        new("Water on the floor", "Stay out of it near anything electrical. Switch off at the main panel only if you can reach it dry; otherwise call the utility or emergency services."),
        new("Insurance", "Ask insurer and landlord before water equipment runs unattended."),
    ];
}
