namespace Evenwater.Photographs;

/// <summary>The program in its other role: binds itself, reads one picture from standard input, writes the redrawn one to standard output, and ends. Not a command for people.</summary>
internal static class RedrawProcess
{
    /// <summary>The one argument that asks for it.</summary>
    public const string Argument = "redraw-photograph";

    /// <summary>Does it; the exit code is a <see cref="RedrawEnd"/>.</summary>
    public static int Run()
    {
        if (!RedrawLimits.Take())
        {
            return (int)RedrawEnd.Unbound;
        }

        using var input = Console.OpenStandardInput();
        var file = Read(input);
        if (file is null || PictureKinds.Of(file) is PictureKind.Other or PictureKind.Heif)
        {
            return (int)RedrawEnd.NoPicture;
        }

        var (end, jpeg) = Redraw.Of(file);
        using (jpeg)
        {
            if (jpeg is not null)
            {
                using var output = Console.OpenStandardOutput();
                jpeg.SaveTo(output);
            }
        }

        return (int)(end == RedrawEnd.Fine && jpeg is null ? RedrawEnd.Broken : end);
    }

    private static byte[]? Read(Stream input)
    {
        using var file = new MemoryStream();
        var part = new byte[64 * 1024];
        while (input.Read(part) is > 0 and var read)
        {
            if (file.Length + read > Darkroom.MostBytes) return null;
            file.Write(part, 0, read);
        }

        return file.ToArray();
    }
}
