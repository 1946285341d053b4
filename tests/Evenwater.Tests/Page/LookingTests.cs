using System.Net;
using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using Evenwater.Page;
using Evenwater.Page.Looking;
using Evenwater.Tests.Documents;

namespace Evenwater.Tests.Page;

/// <summary>The pages that look back, over a real log: what swung, and what a change did.</summary>
public sealed partial class LookingTests(TankPage served) : IClassFixture<TankPage>
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    private async Task<(HttpStatusCode Status, string Text)> Get(string path, bool page = true)
    {
        using var request = new HttpRequestMessage(HttpMethod.Get, new Uri(path, UriKind.Relative));
        if (page) request.Headers.Add("Accept", "text/html");
        using var response = await served.Page.Client.SendAsync(request, Stop);
        return (response.StatusCode, await response.Content.ReadAsStringAsync(Stop));
    }

    [Fact]
    public async Task What_a_change_did_is_a_sentence_a_picture_and_a_table_and_the_same_as_data()
    {
        var (status, html) = await Get("/stations/tank/did?note=n1");
        Assert.Equal(HttpStatusCode.OK, status);
        Assert.Contains("The temperature was 0.7", html, StringComparison.Ordinal);
        Assert.Contains("so the move (n1) is what is left", html, StringComparison.Ordinal); // food as often before as after
        Assert.Equal(6, html.Split("<svg xmlns").Length - 1); // three channels, narrow and wide
        var (_, json) = await Get("/api/v1/stations/tank/did?note=n1&before=5", page: false);
        var answer = JsonDocument.Parse(json).RootElement;
        var temperature = answer.GetProperty("channels").EnumerateArray().Single(one => one.GetProperty("channel").GetString() == "temperature");
        var level = temperature.GetProperty("figures").EnumerateArray().Single(one => one.GetProperty("figure").GetString() == "level");
        Assert.Equal("Lower", level.GetProperty("verdict").GetString());
        Assert.Equal(-0.75, level.GetProperty("difference").GetDouble(), 0.05); // twelve sixteenths of a degree
        Assert.Equal(5, answer.GetProperty("spans").GetProperty("beforeDays").GetInt32());
        Assert.True(answer.GetProperty("alone").GetBoolean());
        var table = (await Get("/api/v1/stations/tank/did.csv?note=n1")).Text;
        Assert.Contains("\r\ntemperature,level,°C", table, StringComparison.Ordinal);
        Assert.Equal(table.Count(c => c == '\n'), table.Split("\r\n").Length - 1); // RFC 4180, section 2, rule 1
    }

    /// <summary>The station's clock stands at the first of July, and two days after the change are the least.</summary>
    [Theory]
    [InlineData("2026-06-30T09:00Z", true)]
    [InlineData("2026-06-27T09:00Z", false)]
    public async Task Who_asks_too_early_what_a_change_did_is_told_when_to_ask_again(string at, bool early)
    {
        var (status, html) = await Get($"/stations/tank/did?at={at}");
        Assert.Equal(HttpStatusCode.OK, status);
        Assert.Equal(early, html.Contains("The days after it are not over yet: ask again from 2026-07-03 ", StringComparison.Ordinal));
        Assert.Equal(early, html.Contains("not over yet", StringComparison.Ordinal));
    }

    [Fact]
    public async Task What_swung_is_told_with_its_beginning_its_probe_its_causes_and_the_book()
    {
        var (status, html) = await Get("/stations/tank/swings?from=2026-06-20T00:00Z");
        Assert.Equal(HttpStatusCode.OK, status);
        Assert.Contains("One swing from", html, StringComparison.Ordinal);
        Assert.Contains("Likeliest: something was added.", html, StringComparison.Ordinal);
        Assert.Matches(@"The conductivity went from \d+\.\d to \d+\.\d &#xB5;S/cm", html);
        Assert.Contains("Nothing speaks for the probe", html, StringComparison.Ordinal);
        Assert.Contains("n4", html, StringComparison.Ordinal);
        Assert.Contains("/stations/tank/history?from=2026-06-26", html, StringComparison.Ordinal);
        Assert.Contains("Weights are judged", html, StringComparison.Ordinal);
        var (_, json) = await Get("/api/v1/stations/tank/swings?from=2026-06-20T00:00Z", page: false);
        var episode = Assert.Single(JsonDocument.Parse(json).RootElement.GetProperty("episodes").EnumerateArray());
        Assert.Equal(TankLog.Dosed, episode.GetProperty("at").GetDateTimeOffset());
        Assert.True(episode.GetProperty("earliest").GetDateTimeOffset() <= TankLog.Dosed && episode.GetProperty("latest").GetDateTimeOffset() >= TankLog.Dosed);
        Assert.Equal("dose", episode.GetProperty("causes")[0].GetProperty("cause").GetString());
        var table = (await Get("/api/v1/stations/tank/swings.csv?from=2026-06-20T00:00Z")).Text;
        Assert.Contains("dose", table, StringComparison.Ordinal);
        Assert.Equal(table.Count(c => c == '\n'), table.Split("\r\n").Length - 1); // RFC 4180, section 2, rule 1
    }

    /// <summary>The log begins on 1 June at 00:00 UTC, and what nobody measured may have swung.</summary>
    [Theory]
    [InlineData("from=2026-05-02T00:00Z&to=2026-06-02T12:00Z&channel=light", "whether anything swung from", "36 h of it were measured.")]
    [InlineData("from=2026-05-02T00:00Z&to=2026-06-02T12:00Z&channel=conductivity", "Nothing swung in what was measured from", "conductivity for 36 h of 756 h.")]
    [InlineData("from=2026-06-02T00:00Z&to=2026-06-09T00:00Z&channel=conductivity", "Nothing swung from", "conductivity moved no more than it does by itself.")]
    [InlineData("from=2026-05-31T00:00Z&to=2026-06-01T01:00Z", "whether anything swung from", "1 h of it were measured.")]
    [InlineData("from=2026-05-31T00:00Z&to=2026-06-02T06:00Z&channel=temperature", "Of temperature nothing is told yet", "is known only once measured for 32 h on end.")]
    public async Task That_nothing_swung_is_said_only_of_what_was_measured(string asked, string begins, string ends)
    {
        var (status, html) = await Get($"/stations/tank/swings?{asked}");
        Assert.Equal(HttpStatusCode.OK, status);
        Assert.Contains(begins, html, StringComparison.Ordinal);
        Assert.Contains(ends, html, StringComparison.Ordinal);
        Assert.DoesNotContain("Weights are judged", html, StringComparison.Ordinal); // of what is not there
    }

    /// <summary>In the first days the lamp has come on a few times: no news, and it is said why; on the tenth its hours are known.</summary>
    [Theory]
    [InlineData("2026-06-02T12:00Z", true)]
    [InlineData("2026-06-04T12:00Z", true)]
    [InlineData("2026-06-10T12:00Z", false)]
    public async Task While_the_usual_day_is_not_known_the_lamp_s_morning_is_no_swing_and_it_is_said(string end, bool early)
    {
        var (_, html) = await Get($"/stations/tank/swings?from=2026-06-01T00:00Z&to={end}");
        Assert.DoesNotContain("The light", html, StringComparison.Ordinal);
        Assert.Equal(early, html.Contains("light not every hour of the day was measured on 5 days yet", StringComparison.Ordinal));
        var read = JsonDocument.Parse((await Get($"/api/v1/stations/tank/swings?from=2026-06-01T00:00Z&to={end}", page: false)).Text).RootElement.GetProperty("read");
        Assert.Equal(3, read.EnumerateArray().Count(one => one.GetProperty("knowsItsDay").GetBoolean() != early));
    }

    /// <summary>A day is named where it begins, and hours are told between: of a swing that came slowly the axis had read 25 Nov, 25 Nov, 26 Nov, 26 Nov.</summary>
    [Theory]
    [InlineData(3, "25 Nov 12:00 26 Nov 12:00 27 Nov 12:00")]
    [InlineData(1, "15:00 18:00 21:00 25 Nov 03:00 06:00 09:00 12:00 15:00")]
    [InlineData(10, "25 Nov 26 Nov 27 Nov 28 Nov 29 Nov 30 Nov 1 Dec 2 Dec 3 Dec 4 Dec")]
    public void Every_day_of_a_picture_s_axis_is_named_once(int days, string marks)
    {
        var from = new DateTimeOffset(2026, 11, 24, 15, 0, 0, TimeSpan.Zero);
        var picture = LookPicture.Draw(new("x", "Temperature", "", "°C", from, from.AddDays(days), [(from, 23), (from.AddDays(days), 22)], [], []), TimeZoneInfo.Utc, PictureSize.Wide);
        Assert.Equal(marks, string.Join(' ', Mark().Matches(picture).Select(match => match.Groups[1].Value)));
    }

    [Theory]
    [InlineData("history?span=week")]
    [InlineData("swings")]
    [InlineData("did?note=n1")]
    public async Task No_page_that_looks_back_names_an_address_of_elsewhere(string path) => Elsewhere.NotIn((await Get($"/stations/tank/{path}")).Text);

    /// <summary>What a person can ask by the form of a page, a program can ask of the same data, and is told so.</summary>
    [Theory]
    [InlineData("did", "/api/v1/stations/{name}/did", "")]
    [InlineData("did", "/api/v1/stations/{name}/did.csv", "")]
    [InlineData("swings", "/api/v1/stations/{name}/swings", "")]
    [InlineData("swings", "/api/v1/stations/{name}/swings.csv", "")]
    [InlineData("history", "/api/v1/history", "")]
    [InlineData("history", "/api/v1/history.csv", "swings")]
    [InlineData("history", "/api/v1/history.senml", "swings")]
    [InlineData("journal", "/api/v1/stations/{name}/notes", "")]
    public async Task Every_field_that_asks_is_a_parameter_of_the_interface(string path, string address, string without)
    {
        var form = Form().Match((await Get($"/stations/tank/{path}")).Text).Value;
        var fields = Field().Matches(form).Select(match => match.Groups[1].Value).Distinct().Where(field => field != without).ToList();
        Assert.InRange(fields.Count, 3, 9);
        var told = JsonNode.Parse(Repository.Text("config", "openapi.json"))!["paths"]![address]!["get"]!["parameters"]!.AsArray().Select(parameter => (string?)parameter!["name"]);
        Assert.Subset(told.ToHashSet(), fields.ToHashSet<string?>());
    }

    /// <summary>No field of the form shows the page's number.</summary>
    [Theory]
    [InlineData("-1")]
    [InlineData("two")]
    public async Task A_page_of_the_book_that_can_not_be_is_refused_in_words(string page)
    {
        var (status, html) = await Get($"/stations/tank/journal?page={page}");
        Assert.Equal(HttpStatusCode.UnprocessableEntity, status);
        Assert.Contains($"&quot;{page}&quot; was given. Allowed is a page&#x27;s number, from 1.", html, StringComparison.Ordinal);
    }

    /// <summary>With the last night chosen instead, a beginning that was put right was not read, and another span shown.</summary>
    [Fact]
    public async Task Where_a_beginning_is_refused_the_form_still_asks_for_a_span_with_ends_of_its_own()
    {
        var (status, html) = await Get("/stations/tank/history?from=yesterday");
        Assert.Equal(HttpStatusCode.UnprocessableEntity, status);
        Assert.Contains("<option value=\"own\" selected>", html, StringComparison.Ordinal);
    }

    /// <summary>"mood: Nothing was given", and then the name of a type of this program.</summary>
    [Theory]
    [InlineData("""{"kind":"feed","mood":1}""", "mood")]
    [InlineData("""{"kind":"dance"}""", "kind")]
    [InlineData("[1]", "note")]
    public async Task A_note_that_can_not_be_read_is_refused_by_its_key_and_place(string body, string field)
    {
        using var content = new StringContent(body, System.Text.Encoding.UTF8, "application/json");
        using var answer = await served.Page.Client.PostAsync(new Uri("/api/v1/stations/tank/notes", UriKind.Relative), content, Stop);
        Assert.Equal(HttpStatusCode.UnprocessableEntity, answer.StatusCode);
        var detail = (string)JsonNode.Parse(await answer.Content.ReadAsStringAsync(Stop))!["detail"]!;
        Assert.StartsWith($"{field}: \"not readable so\" was given. Allowed is a note as config/asyncapi.json has it, of known keys alone. Look at line 1, byte ", detail, StringComparison.Ordinal);
        Assert.DoesNotContain("Evenwater", detail, StringComparison.Ordinal);
    }

    /// <summary>A browser may fill in what is asked about its person (WCAG 2.2, 1.3.5; HTML, "autofill", the name "name").</summary>
    [Theory]
    [InlineData("journal?new=feed")]
    [InlineData("arrival")]
    public async Task Who_writes_is_told_to_be_a_name(string path)
    {
        var asked = Who().Matches((await Get($"/stations/tank/{path}")).Text).Select(match => match.Value).ToList();
        Assert.NotEmpty(asked);
        Assert.All(asked, one => Assert.Contains("autocomplete=\"name\"", one, StringComparison.Ordinal));
    }

    [Fact]
    public async Task Without_a_question_the_form_is_there_with_the_book_s_changes()
    {
        var (status, html) = await Get("/stations/tank/did");
        Assert.Equal(HttpStatusCode.OK, status);
        Assert.Contains("<option value=\"n4\"", html, StringComparison.Ordinal);
        Assert.DoesNotContain("In figures", html, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("did?note=n99", "note", "a note that stands in this station&#x27;s book")]
    [InlineData("did?note=n1&before=1", "before", "a whole number from 2 to 60 d")]
    [InlineData("did?at=yesterday", "at", "2026-03-14T19:30")]
    [InlineData("did?at=2026-07-02T09:00", "at", "It is yet to come: ask some days after it.")] // the station's clock stands at the first of July
    [InlineData("did?at=9999-12-31T23:00", "at", "of the years 1970 to 2199")]
    [InlineData("did?at=0001-01-01T00:00", "at", "of the years 1970 to 2199")]
    [InlineData("swings?to=0001-01-05", "to", "of the years 1970 to 2199")]
    [InlineData("swings?from=0001-01-01", "from", "of the years 1970 to 2199")]
    [InlineData("swings?from=2026-06-20&to=2026-06-19", "from", "before the end, 150 days before it at the most")]
    [InlineData("swings?from=2025-06-20&to=2026-06-19", "from", "before the end, 150 days before it at the most")]
    [InlineData("swings?channel=colour", "channel", "one of conductivity, temperature, light")]
    public async Task What_can_not_be_taken_is_told_by_its_field_and_kept(string asked, string field, string allowed)
    {
        var (status, html) = await Get($"/stations/tank/{asked}");
        Assert.Equal(HttpStatusCode.UnprocessableEntity, status);
        Assert.Contains(allowed, html, StringComparison.Ordinal);
        Assert.Contains("aria-invalid=\"true\"", html, StringComparison.Ordinal);
        var (refused, json) = await Get($"/api/v1/stations/tank/{asked}", page: false);
        Assert.Equal(HttpStatusCode.UnprocessableEntity, refused);
        Assert.Equal(field, JsonDocument.Parse(json).RootElement.GetProperty("errors")[0].GetProperty("field").GetString());
        Assert.Equal(HttpStatusCode.NotFound, (await Get("/api/v1/stations/nobody/" + asked, page: false)).Status);
    }

    [GeneratedRegex("<form( id=\"[^\"]*\")? method=\"get\".*?</form>", RegexOptions.Singleline)]
    private static partial Regex Form();

    [GeneratedRegex("<input id=\"[^\"]*-by\"[^>]*>")]
    private static partial Regex Who();

    [GeneratedRegex("class=\"p-tick\" text-anchor=\"middle\">([^<]*)<")]
    private static partial Regex Mark();

    [GeneratedRegex("<(?:input|select)[^>]* name=\"([a-zA-Z]+)\"")]
    private static partial Regex Field();

    [Fact] // by hand: from 42 to 348 px over 14 days the change of day 7 stands at 195; food three times a day is 41 marks, of which some share a number
    public void The_arrow_stands_at_the_change_however_much_else_happened_and_no_number_covers_another()
    {
        DateTimeOffset from = new(2026, 6, 1, 0, 0, 0, TimeSpan.Zero), changed = from.AddDays(7);
        List<(DateTimeOffset, int?)> marks = [(changed, null), .. Enumerable.Range(0, 41).Select(i => (from.AddHours((8 * i) + 4), (int?)(i + 5)))];
        var picture = LookPicture.Draw(new("x", "Temperature", "", "°C", from, from.AddDays(14), [(from, 23), (from.AddDays(14), 22)], [], marks), TimeZoneInfo.Utc, PictureSize.Narrow);
        var told = Regex.Matches(picture, "<text x=\"([0-9.]+)\" y=\"([0-9.]+)\"[^>]*p-moment[^>]*>([^<]+)</text>").Select(m => (X: double.Parse(m.Groups[1].Value), Y: m.Groups[2].Value, Words: m.Groups[3].Value)).ToList();
        Assert.Equal(195, Assert.Single(told, one => one.Words == "▼").X, 0.5);
        var numbers = told.Where(one => one.Words != "▼").ToList();
        Assert.StartsWith("5", numbers[0].Words, StringComparison.Ordinal);
        Assert.EndsWith("45", numbers[^1].Words, StringComparison.Ordinal);
        Assert.DoesNotContain(numbers, one => one.Y == told.Single(mark => mark.Words == "▼").Y);
        double Half(string words) => 3.4 * words.Length; // 6.8 px a digit, as in SharedMarks
        Assert.All(numbers, one => Assert.InRange(one.X, 42 + Half(one.Words) - 0.1, 348 - Half(one.Words) + 0.1));
        Assert.All(numbers.Zip(numbers.Skip(1)), pair => Assert.True(pair.Second.X - pair.First.X >= Half(pair.First.Words) + Half(pair.Second.Words), $"{pair.First} covers {pair.Second}"));
    }
}
