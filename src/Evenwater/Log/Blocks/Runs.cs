namespace Evenwater.Log.Blocks;

/// <summary>Numbers that seldom change: each with how often it comes in a row.</summary>
internal static class Runs
{
    public static void Write(VarintWriter writer, int count, Func<int, int> of)
    {
        for (var i = 0; i < count;)
        {
            var (value, start) = (of(i), i);
            while (i < count && of(i) == value)
            {
                i++;
            }

            writer.Unsigned((ulong)value);
            writer.Unsigned((ulong)(i - start));
        }
    }

    public static int[] Read(ref VarintReader reader, int count)
    {
        var values = new int[count];
        for (var i = 0; i < count;)
        {
            var value = reader.Count(int.MaxValue);
            var length = reader.Count(count - i);
            if (length == 0)
            {
                throw new InvalidDataException("a block of the log holds a number that comes no times");
            }

            values.AsSpan(i, length).Fill(value);
            i += length;
        }

        return values;
    }
}
