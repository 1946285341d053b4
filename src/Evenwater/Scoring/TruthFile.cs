using System.Globalization;
using System.IO.Compression;

namespace Evenwater.Scoring;

/// <summary>One row of a truth file. Null: the file has no such column, or the field is empty.</summary>
internal readonly record struct TruthRow(double Seconds, double? Litres, double? VesselMicrosiemensPerCm, double? TankMicrosiemensPerCm);

/// <summary>Reads NAME.truth.csv or .csv.gz: t_s, V_L, C_uScm, Ct_uScm. For pictures only; what cannot be read is passed over.</summary>
internal static class TruthFile
{
    public static IReadOnlyList<TruthRow> Read(string path)
    {
        using Stream file = File.OpenRead(path);
        using var stream = path.EndsWith(".gz", StringComparison.OrdinalIgnoreCase) ? new GZipStream(file, CompressionMode.Decompress) : file;
        using var reader = new StreamReader(stream);
        var names = (reader.ReadLine() ?? "").Split(',', StringSplitOptions.TrimEntries);
        var (t, litres, vessel, tank) = (Array.IndexOf(names, "t_s"), Array.IndexOf(names, "V_L"), Array.IndexOf(names, "C_uScm"), Array.IndexOf(names, "Ct_uScm"));
        var rows = new List<TruthRow>();
        while (reader.ReadLine() is { } line)
        {
            var fields = line.Split(',');
            if (Number(fields, t) is { } seconds)
            {
                rows.Add(new TruthRow(seconds, Number(fields, litres), Number(fields, vessel), Number(fields, tank)));
            }
        }

        return rows;
    }

    private static double? Number(string[] fields, int column) =>
        column >= 0 && column < fields.Length && double.TryParse(fields[column], NumberStyles.Float, CultureInfo.InvariantCulture, out var value) && double.IsFinite(value)
            ? value
            : null;
}
