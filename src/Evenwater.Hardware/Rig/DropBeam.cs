using Evenwater.Core;

namespace Evenwater.Hardware.Rig;

/// <summary>The photo-interrupter's line: each drop of a step is told as the two edges that it makes, at its own time.</summary>
internal sealed class DropBeam(FakeGpioDriver pins, int line)
{
    /// <summary>How long a drop darkens the beam, s: 5 mm at 1 m/s.</summary>
    private const double DropSeconds = 0.005;

    private long _nanoseconds;
    private bool _blocked;

    /// <summary>When what the line shows now happened. May be asked while an edge is told, from any thread: takes no lock.</summary>
    public MonotonicTime Time => new(Volatile.Read(ref _nanoseconds));

    /// <summary>Time has passed up to here.</summary>
    public void Pass(MonotonicTime to) => Volatile.Write(ref _nanoseconds, to.Nanoseconds);

    /// <summary>Tells of one step.</summary>
    public void Tell(VolumeSenses senses, MonotonicTime at, double seconds)
    {
        if (senses.BeamIsBlocked != _blocked)
        {
            _blocked = senses.BeamIsBlocked;
            Edge(_blocked, at);
        }

        for (var drop = 0; drop < senses.Drops; drop++)
        {
            var falls = at.Plus((drop + 0.5) * seconds / senses.Drops);
            Edge(high: true, falls);
            Edge(high: false, falls.Plus(DropSeconds));
        }
    }

    private void Edge(bool high, MonotonicTime at)
    {
        Pass(at);
        pins.Tell(line, high);
    }
}
