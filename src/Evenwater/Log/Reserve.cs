namespace Evenwater.Log;

/// <summary>
/// Room on the disk that is held free for what must be told when there is none left: a file beside the log, deleted when a commit finds the disk full, made again when there is room.
/// </summary>
/// <param name="folder">The log's folder.</param>
/// <param name="kept">Whether there is to be such a file; without one it is only watched whether there is room again.</param>
internal sealed class Reserve(string folder, bool kept)
{
    public const string Name = "reserve.bin";

    /// <summary>What it holds free, bytes. Thousands of alarms; common practice, no source.</summary>
    public const long Bytes = 8 << 20;

    /// <summary>It is made again when so much would be left beside it.</summary>
    private const long Beside = 2 * Bytes;

    private readonly string _file = Path.Combine(folder, Name);

    /// <summary>Whether the disk was found full and has not got room again since.</summary>
    public bool Gone { get; private set; }

    /// <summary>Lets go of it.</summary>
    public void Release()
    {
        Gone = true;
        try
        {
            File.Delete(_file);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // A disk that is read-only has no use for room.
        }
    }

    /// <summary>Makes it when it is not there and there is room.</summary>
    public void Keep()
    {
        try
        {
            if (kept && File.Exists(_file) && new FileInfo(_file).Length == Bytes)
            {
                Gone = false;
                return;
            }

            var room = new DriveInfo(folder).AvailableFreeSpace >= Bytes + Beside;
            if (kept && room)
            {
                File.WriteAllBytes(_file, new byte[Bytes]);
            }

            Gone = !room && (kept || Gone);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            Release();
        }
    }
}
