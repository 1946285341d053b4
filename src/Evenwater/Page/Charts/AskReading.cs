using System.Globalization;
using System.Text.RegularExpressions;
using Evenwater.Core;
using Evenwater.Exporting;
using Evenwater.Keeping;
using Evenwater.Page.Frame;

namespace Evenwater.Page.Charts;

/// <summary>Reads what is asked for out of an address; every parameter that can not be taken is told by its name.</summary>
internal sealed partial class AskReading(IQueryCollection query, StationBoard board, IReadOnlyList<GoneStation> gone)
{
    /// <summary>Shortest span: less has too few readings to draw. Our own choice.</summary>
    private static readonly TimeSpan s_least = TimeSpan.FromMinutes(1);

    private readonly List<FieldRefusal> _refused = [];

    /// <summary>What was asked, or why not.</summary>
    /// <param name="query">The address's parameters.</param>
    /// <param name="board">The stations.</param>
    /// <param name="page">The page's station; null when the parameters must name one.</param>
    /// <param name="usual">The channels when none is named.</param>
    /// <param name="gone">Stations that are no longer watched and may be asked for.</param>
    public static (HistoryAsk? Ask, IReadOnlyList<FieldRefusal> Refused) Of(
        IQueryCollection query, StationBoard board, string? page, Func<string, IReadOnlyList<Channel>> usual, IReadOnlyList<GoneStation>? gone = null)
    {
        var reading = new AskReading(query, board, gone ?? []);
        return (reading.Read(page, usual), reading._refused);
    }

    private HistoryAsk? Read(string? page, Func<string, IReadOnlyList<Channel>> usual)
    {
        var station = One("station") ?? page;
        if (station is not null && !Knows(station)) Refuse("station", station, Stations());
        var channels = ChannelsOf(station);
        if (_refused.Count > 0) return null;
        if ((station ?? (channels.Count > 0 ? channels[0].Station : null)) is not { } first)
        {
            Refuse("channel", "", $"a channel with its station before it, such as {(board.All() is [var one, ..] ? one.View.Name : "NAME")}/tank_temperature");
            return null;
        }

        var (now, zone) = Place(first);
        var (from, to, moving) = Span(now, zone);
        var compared = Compared(from, to, now, zone);
        var points = page is not null && One("points") is null ? HistoryAsk.PointsFor((to - from).TotalDays) : Points();
        if (_refused.Count > 0) return null;
        return new HistoryAsk
        {
            Channels = channels.Count > 0 ? channels : [.. usual(first).Take(HistoryAsk.MostChannels).Select(channel => new ChannelAt(first, channel))],
            From = from, To = to, Now = now, Zone = zone, Moving = moving, Compared = compared, Points = points, Swings = One("swings") == "1",
            Waits = Evenwater.Log.LogPace.Longest * (board.Find(first)?.View.Speed ?? 1),
        };
    }

    private List<ChannelAt> ChannelsOf(string? station)
    {
        var found = new List<ChannelAt>();
        foreach (var text in query["channel"].OfType<string>().Where(text => text.Length > 0))
        {
            var slash = text.LastIndexOf('/');
            var (of, name) = slash < 0 ? (station, text) : (text[..slash], text[(slash + 1)..]);
            if (of is null || !Knows(of)) Refuse("channel", text, slash < 0 ? "a channel with its station before it, such as NAME/tank_temperature, or station= with it" : Stations());
            else if (ExportAsk.ChannelsOf(name).Channels is [var channel]) found.Add(new(of, channel));
            else Refuse("channel", text, $"one of {string.Join(", ", ExportAsk.All.Wanted.Select(c => Followers.SiChannel.Of(c).Name))}", "Name one of these; several by channel= again.");
            if (_refused.Count > 0) return found;
        }

        List<ChannelAt> once = [.. found.Distinct()];
        if (once.Count > HistoryAsk.MostChannels)
            Refuse("channel", $"{once.Count} channels", $"{HistoryAsk.MostChannels} at the most", "Leave some out, and look at them in a second view.");
        return once;
    }

    private (DateTimeOffset From, DateTimeOffset To, string? Moving) Span(DateTimeOffset now, TimeZoneInfo zone)
    {
        var name = One("span") ?? (One("from") is null ? "night" : NamedSpan.Own);
        if (name != NamedSpan.Own)
        {
            if (NamedSpan.Of(name) is { } named) return (now - named.Length, now, name);
            Refuse("span", name, $"{string.Join(", ", NamedSpan.All.Select(span => span.Name))}, or {NamedSpan.Own} with from and to");
            return (now, now, null);
        }

        var to = One("to") is { } end and not "now" ? Time("to", end, zone, now) : now;
        var from = One("from") switch
        {
            null => Missing("from"),
            var text when Ago().Match(text) is { Success: true } ago => Before(text, ago, to),
            var text => Time("from", text, zone, now),
        };
        if (_refused.Count > 0) return (from, to, null);
        if (to - from < s_least) Refuse("from", $"{One("from")} to {One("to") ?? "now"}", "a minute or more before the end", "Choose an earlier beginning or a later end.");
        else if ((to - from).TotalDays > HistoryAsk.MostDays) Refuse("from", $"{One("from")} to {One("to") ?? "now"}", "20 years before the end at the most", "Ask for less.");
        return (from, to, null);
    }

    private DateTimeOffset? Compared(DateTimeOffset from, DateTimeOffset to, DateTimeOffset now, TimeZoneInfo zone)
    {
        if (One("compare") is not { } name || _refused.Count > 0) return null;
        if (name == NamedSpan.Own) return One("compareFrom") is { } text ? Time("compareFrom", text, zone, now) : Missing("compareFrom");
        foreach (var (known, _, earlier) in NamedSpan.Earlier)
        {
            if (known == name) return from - (earlier ?? (to - from));
        }

        Refuse("compare", name, $"{string.Join(", ", NamedSpan.Earlier.Select(one => one.Name))}, or {NamedSpan.Own} with compareFrom");
        return null;
    }

    private int Points()
    {
        if (One("points") is not { } text) return HistoryAsk.MostPoints;
        if (int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var points) && points is >= 2 and <= HistoryAsk.MostPoints) return points;
        Refuse("points", text, $"a whole number, 2 to {HistoryAsk.MostPoints}");
        return 2;
    }

    /// <summary>So long before the end.</summary>
    private DateTimeOffset Before(string text, Match ago, DateTimeOffset end)
    {
        var length = double.Parse(ago.Groups[1].ValueSpan, CultureInfo.InvariantCulture) / (ago.Groups[2].Value switch { "m" => 1440, "h" => 24, _ => 1 });
        if (length <= HistoryAsk.MostDays) return end.AddDays(-length);
        Refuse("from", text, "20 years before the end at the most", "Ask for less.");
        return end;
    }

    private DateTimeOffset Time(string field, string text, TimeZoneInfo zone, DateTimeOffset now)
    {
        if (KeptTime.Read(field, text, zone, now).Time is { } time && time.UtcDateTime.Year is > 1970 and < 2200) return time;
        Refuse(field, text, "a time of the years 1971 to 2199, such as 2026-03-14T19:30 (this place's), 2026-03-14T19:30Z or 2026-03-14" + (field == "from" ? ", or so long before the end: -90m, -36h, -7d" : ""), KeptTime.Changed(text, zone, now));
        return now;
    }

    private DateTimeOffset Missing(string field)
    {
        Refuse(field, "", "a time, such as 2026-03-14T19:30");
        return default;
    }

    private string? One(string name) => query[name] is [.., { Length: > 0 } text] ? text : null;

    private bool Knows(string station) => board.Find(station) is not null || gone.Any(one => one.Name == station);

    /// <summary>Now and where, of a station. The last that is known of one that nobody watches is its now, so that its last night is one.</summary>
    private (DateTimeOffset Now, TimeZoneInfo Zone) Place(string station) => board.Find(station) is { View: var view }
        ? (view.Now, StationZone.Of(view))
        : (gone.First(one => one.Name == station).Last, board.All() is [{ View: var any }, ..] ? StationZone.Of(any) : TimeZoneInfo.Local);

    private string Stations() =>
        $"one of {string.Join(", ", board.All().Select(posted => posted.View.Name))}{(gone.Count == 0 ? "" : $"; no longer watched: {string.Join(", ", gone.Select(one => one.Name))}")}";

    private void Refuse(string field, string value, string allowed, string? act = null) => _refused.Add(new(field, value, allowed, act));

    [GeneratedRegex(@"^-(\d{1,6})([mhd])$")]
    private static partial Regex Ago();
}
