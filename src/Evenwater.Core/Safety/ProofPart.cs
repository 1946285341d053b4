namespace Evenwater.Core.Safety;

/// <summary>One part of the proof test, in the order it is tried: what sees danger first, then what opens. Stored in the log: append, never renumber.</summary>
public enum ProofPart : byte
{
    /// <summary>No part.</summary>
    None = 0,

    /// <summary>The low float turns wet and dry.</summary>
    FloatLow = 1,

    /// <summary>The high float turns wet and dry.</summary>
    FloatHigh = 2,

    /// <summary>The leak sensor turns wet and dry.</summary>
    Leak = 3,

    /// <summary>The valve opens.</summary>
    Opens = 4,

    /// <summary>The float in the coil's own supply stops the water.</summary>
    SeriesFloat = 5,

    /// <summary>The valve's plug, pulled, stops the water.</summary>
    Plug = 6,

    /// <summary>The driver lets go when its pulses stop.</summary>
    DropOut = 7,

    /// <summary>The valve, told to close, lets no drop through.</summary>
    Closes = 8,
}

/// <summary>What a keeper is told about one part.</summary>
/// <param name="Part">Which.</param>
/// <param name="Name">Its name in a sentence.</param>
/// <param name="Do">What to do now.</param>
/// <param name="Ask">What is asked where the program cannot see it.</param>
/// <param name="Mend">What to do when it fails.</param>
public sealed record ProofRow(ProofPart Part, string Name, string Do, string Ask, string Mend);

/// <summary>All parts of the proof test, and which a station has. hardware/README.md has the same list.</summary>
public static class ProofParts
{
    private static readonly ProofRow[] s_rows =
    [
        new(ProofPart.FloatLow, "low float", "Lift the low float by hand, hold it for a second, and let it hang again.", "",
            "Free the float and clean it; its line must read 0 hanging and 1 raised (hardware/README.md, build, switches). Then test again."),
        new(ProofPart.FloatHigh, "high float", "Lift the program's high float by hand, hold it for a second, and let it hang again.", "",
            "Free the float and clean it; its line must read 0 hanging and 1 raised. A line shorted to ground reads dry for ever: look at its wire. Then test again."),
        new(ProofPart.Leak, "leak sensor", "Wet the leak sensor with a damp cloth, then wipe it dry. Its alarm will call: that is part of the test.", "",
            "Clean the sensor, look at its plug and wire: its line must read 0 dry and 1 wet or unplugged. Then test again."),
        new(ProofPart.Opens, "valve opens", "Hold a cup under the hose: the program opens the valve now.", "Does water run into the cup?",
            "Look at intake, hose, strainer, fuse and plug of the valve, and that the series float hangs. Then test again."),
        new(ProofPart.SeriesFloat, "series float", "Lift the float in the valve's own supply by hand until the water stops, then let it hang again.",
            "Lift the float in the valve's own supply: does the water stop, and run again when you let it hang?",
            "Its contact has welded, or the valve does not close: replace the float, look at the diode across the coil, and flush the valve. Until then nothing may close without the program."),
        new(ProofPart.Plug, "valve plug", "Pull the valve's plug while water runs, wait until it stops, and plug it in again.",
            "Pull the valve's plug while water runs: does the water stop, and run again when you plug it in?",
            "A valve that stays open without its coil is stuck or is no normally-closed one: clamp the hose now, clean or replace the valve."),
        new(ProofPart.DropOut, "pulse drop-out", "Listen to the valve: the program stops its pulses now, for ten seconds, and leaves the line as it is.",
            "Did the valve click shut within 2 s of that, and stay shut until it clicked open again?",
            "The driver holds the valve without pulses: a dead program would leave it open. Check the driver (hardware/README.md, build, steps 5 to 8). Do not use it unattended."),
        new(ProofPart.Closes, "valve closes", "The valve is told to close. Watch the end of the hose for a minute.",
            "Did no drop fall for the whole minute?",
            "Water passes the closed valve: clamp the hose now. Flush or replace the valve and its strainer. Then test again."),
    ];

    /// <summary>The row of one part.</summary>
    public static ProofRow Of(ProofPart part) => s_rows[(int)part - 1];

    /// <summary>The parts of a station: its fitted switches, and the valve's.</summary>
    public static IReadOnlyList<ProofPart> Fitted(Stations.Sensors sensors)
    {
        ArgumentNullException.ThrowIfNull(sensors);
        return
        [
            .. s_rows.Select(row => row.Part).Where(part => part switch
            {
                ProofPart.FloatLow => sensors.FloatLowLine is not null,
                ProofPart.FloatHigh => sensors.FloatHighLine is not null,
                ProofPart.Leak => sensors.LeakLine is not null,
                _ => true,
            }),
        ];
    }

    /// <summary>The switch that a part is about, or null.</summary>
    public static Channel? Switch(ProofPart part) => part switch
    {
        ProofPart.FloatLow => Channel.FloatLow,
        ProofPart.FloatHigh => Channel.FloatHigh,
        ProofPart.Leak => Channel.Leak,
        _ => null,
    };
}
