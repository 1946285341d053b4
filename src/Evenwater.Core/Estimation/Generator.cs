using System.Numerics;

namespace Evenwater.Core.Estimation;

/// <summary>
/// A seeded generator that the state carries: the same seed gives the same bits on every machine.
/// xoshiro256** seeded by SplitMix64 (Blackman and Vigna, "Scrambled linear pseudorandom number generators", 2021).
/// </summary>
internal struct Generator
{
    private ulong _a;
    private ulong _b;
    private ulong _c;
    private ulong _d;

    public Generator(ulong seed)
    {
        _a = SplitMix(ref seed);
        _b = SplitMix(ref seed);
        _c = SplitMix(ref seed);
        _d = SplitMix(ref seed);
    }

    public ulong NextBits()
    {
        var result = BitOperations.RotateLeft(_b * 5, 7) * 9;
        var t = _b << 17;
        _c ^= _a;
        _d ^= _b;
        _b ^= _c;
        _a ^= _d;
        _c ^= t;
        _d = BitOperations.RotateLeft(_d, 45);
        return result;
    }

    /// <summary>Uniform on [0, 1).</summary>
    public double NextUniform() => (NextBits() >> 11) * (1.0 / (1UL << 53));

    /// <summary>Uniform on 0 to <paramref name="count"/> - 1 (multiply-shift; the bias is below 2^-32 for our counts).</summary>
    public int NextIndex(int count) => (int)Math.BigMul(NextBits(), (ulong)count, out _);

    private static ulong SplitMix(ref ulong state)
    {
        var z = state += 0x9E3779B97F4A7C15;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
        return z ^ (z >> 31);
    }
}
