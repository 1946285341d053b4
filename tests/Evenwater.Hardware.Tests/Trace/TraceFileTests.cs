using System.IO.Compression;
using System.Text;
using Evenwater.Core;
using Evenwater.Hardware.Trace;

namespace Evenwater.HardwareTests.Trace;

public sealed class TraceFileTests
{
    private const string Header = "t_s,bucket_ec25_uScm,bucket_temp_C,tank_ec25_uScm,tank_temp_C,float_low,float_high,valve_open,drops,mass_kg,level_mm";

    [Fact]
    public void A_row_becomes_readings_taken_at_its_time()
    {
        var row = Assert.Single(Rows(Header, "5,534.5,18.72,754,26.89,0,1,1,32,3.511,91.8").Rows);
        Assert.Equal(5, row.Seconds);
        Assert.True(row.ValveOpen);
        Assert.Equal(534.5, row.Readings[Channel.VesselConductivity].Value);
        Assert.Equal(18.72, row.Readings[Channel.VesselTemperature].Value);
        Assert.Equal(754, row.Readings[Channel.TankConductivity].Value);
        Assert.Equal(26.89, row.Readings[Channel.TankTemperature].Value);
        Assert.Equal(0, row.Readings[Channel.FloatLow].Value);
        Assert.Equal(1, row.Readings[Channel.FloatHigh].Value);
        Assert.Equal(32, row.Readings[Channel.Drops].Value);
        Assert.Equal(3.511, row.Readings[Channel.Mass].Value);
        Assert.Equal(91.8, row.Readings[Channel.Level].Value);
        Assert.Equal(MonotonicTime.FromSeconds(5), row.Readings[Channel.Mass].TakenAt);
    }

    [Fact]
    public void An_empty_field_is_no_answer_and_an_absent_column_is_not_fitted()
    {
        var row = Assert.Single(Rows("t_s,bucket_ec25_uScm,valve_open", "5,,1").Rows);
        Assert.Equal(Reason.NoAnswer, row.Readings[Channel.VesselConductivity].Reason);
        Assert.Equal(Reason.NotFitted, row.Readings[Channel.TankConductivity].Reason);
    }

    /// <summary>RFC 4180, 2, rule 5: each field may or may not be enclosed in double quotes.</summary>
    [Fact]
    public void Names_and_numbers_may_stand_in_quotes()
    {
        var (rows, file) = Rows("\"t_s\",\"bucket_ec25_uScm\" , tank_ec25_uScm", "\"5\",\"534.5\",754", "6,\"\",\"", "7,534,\"754\"");
        Assert.Equal([534.5, 534], rows.Select(row => row.Readings[Channel.VesselConductivity].Value));
        Assert.Equal(754, rows[0].Readings[Channel.TankConductivity].Value);
        Assert.Equal(1, file.RejectedCount); // a quote that is not closed
    }

    [Fact]
    public void Columns_may_stand_in_any_order_and_unknown_ones_are_named()
    {
        var (rows, file) = Rows("tank_ec25_uScm,ph,t_s", "754,7.1,5");
        Assert.Equal(754, Assert.Single(rows).Readings[Channel.TankConductivity].Value);
        Assert.Equal(["ph"], file.UnknownColumns);
        (rows, file) = Rows("t_s,ph,ph,tank_ec25_uScm,,", "5,7.1,7.2,754,,"); // as a spreadsheet leaves empty columns at the end
        Assert.Equal(754, Assert.Single(rows).Readings[Channel.TankConductivity].Value);
        Assert.Equal(["ph"], file.UnknownColumns);
    }

    [Fact]
    public void The_valve_stays_where_it_was_when_its_field_is_empty()
    {
        var rows = Rows("t_s,valve_open", "1,0", "2,", "3,1", "4,").Rows;
        Assert.Equal([false, false, true, true], rows.Select(r => r.ValveOpen));
    }

    [Theory]
    [InlineData("6,wet,18,754,26,0,1,1,32,3.5,91", 3, "bucket_ec25_uScm")]
    [InlineData("6,NaN,18,754,26,0,1,1,32,3.5,91", 3, "bucket_ec25_uScm")]
    [InlineData("6,1e999,18,754,26,0,1,1,32,3.5,91", 3, "bucket_ec25_uScm")]
    [InlineData("6,534,18,754,26,2,1,1,32,3.5,91", 3, "float_low")]
    [InlineData("6,534,18,754,26,0,1,yes,32,3.5,91", 3, "valve_open")]
    [InlineData("5,534,18,754,26,0,1,1,32,3.5,91", 3, "t_s")]
    [InlineData("4,534,18,754,26,0,1,1,32,3.5,91", 3, "t_s")]
    [InlineData(",534,18,754,26,0,1,1,32,3.5,91", 3, "t_s")]
    [InlineData("6,534,18", 3, "tank_ec25_uScm")]
    [InlineData("6,534,18,754,26,0,1,1,32,3.5,91,7", 3, "after the last column")]
    public void A_bad_row_is_left_out_with_line_and_column_and_the_rest_is_read(string bad, long line, string column)
    {
        var (rows, file) = Rows(Header, "5,534,18,754,26,0,1,1,32,3.5,91", bad, "7,535,18,754,26,0,1,1,32,3.5,91");
        Assert.Equal([5, 7], rows.Select(r => r.Seconds));
        Assert.Equal(1, file.RejectedCount);
        var rejected = Assert.Single(file.Rejected);
        Assert.Equal(line, rejected.Line);
        Assert.Equal(column, rejected.Column);
    }

    [Theory]
    [InlineData("1,2,3e8,4,5", "1,2,4,5", "3e8", 4)]
    [InlineData("5e8,1,2,3", "1,2,3", "5e8", 2)]
    [InlineData("1,2,4000,3,4", "1,2,3,4", "4000", 4)]
    [InlineData("1,2,4000,4000,4002", "1,2,4000,4002", "4000", 5)]
    [InlineData("1,2,4000,1,4002", "1,2,4000,4002", "1", 5)]
    [InlineData("1,2,2,3", "1,2,3", "2", 4)]
    [InlineData("3,1,2,4", "3,4", "1", 3)]
    public void One_mistaken_time_costs_no_row_but_its_own(string times, string kept, string bad, long line)
    {
        var (rows, file) = Rows(["t_s", .. times.Split(',')]);
        Assert.Equal(kept.Split(',').Select(double.Parse), rows.Select(r => r.Seconds));
        Assert.Equal((line, "t_s", double.Parse(bad)), (file.Rejected[0].Line, file.Rejected[0].Column, double.Parse(file.Rejected[0].Text)));
    }

    [Fact]
    public void A_gap_is_believed_by_the_row_after_it_or_by_the_end_of_the_file()
    {
        var (rows, file) = Rows("t_s,valve_open", "1,0", "5000,1", "5001,", "90000,0");
        Assert.Equal([(1, false), (5000, true), (5001, true), (90000, false)], rows.Select(r => ((int)r.Seconds, r.ValveOpen)));
        Assert.Equal(0, file.RejectedCount);
    }

    [Theory]
    [InlineData("2,x", 3)]
    [InlineData("1,5", 3)]
    [InlineData("500,5", 3)]
    public void Drops_counted_since_a_row_that_was_left_out_are_no_answer(string bad, double following)
    {
        var rows = Rows("t_s,drops", "1,5", bad, "3,6", "4,7").Rows;
        Assert.Equal([1, following, 4], rows.Select(r => r.Seconds));
        Assert.Equal([Reason.None, Reason.NoAnswer, Reason.None], rows.Select(r => r.Readings[Channel.Drops].Reason));
    }

    [Fact]
    public void All_bad_rows_are_counted_and_the_first_hundred_described()
    {
        var (rows, file) = Rows(["t_s", .. Enumerable.Repeat("x", 250)]);
        Assert.Empty(rows);
        Assert.Equal(250, file.RejectedCount);
        Assert.Equal(TraceFile.MostDescribed, file.Rejected.Count);
        Assert.StartsWith("line 2, t_s: 'x' is not ", file.Rejected[0].ToString(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("")]
    [InlineData("time,bucket_ec25_uScm")]
    [InlineData("t_s,tank_temp_C,tank_temp_C")]
    public void A_file_without_a_usable_header_is_an_error(string header) =>
        Assert.Contains("line 1", Assert.Throws<InvalidDataException>(() => Rows(header, "1,2")).Message, StringComparison.Ordinal);

    [Fact]
    public void Compressed_and_plain_files_read_the_same()
    {
        var folder = Directory.CreateTempSubdirectory("trace");
        try
        {
            var text = Encoding.UTF8.GetBytes("\uFEFFt_s,drops\r\n1,2\r\n3,4\r\n");
            var plain = Path.Combine(folder.FullName, "a.csv");
            File.WriteAllBytes(plain, text);
            using (var gzip = new GZipStream(File.Create(plain + ".gz"), CompressionMode.Compress))
            {
                gzip.Write(text);
            }

            foreach (var path in new[] { plain, plain + ".gz" })
            {
                using var file = TraceFile.Open(path);
                Assert.Equal([2, 4], file.Rows().Select(r => r.Readings[Channel.Drops].Value));
                Assert.Equal(0, file.RejectedCount);
            }
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    private static (TraceRow[] Rows, TraceFile File) Rows(params string[] lines)
    {
        using var file = TraceFile.Open(new MemoryStream(Encoding.UTF8.GetBytes(string.Join('\n', lines))), "test");
        return ([.. file.Rows()], file);
    }
}
