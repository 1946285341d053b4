using Evenwater.Core.Telling;
using Evenwater.Page;
using Evenwater.Page.Live;
using Spectre.Console;
using Spectre.Console.Rendering;

namespace Evenwater.Terminal;

/// <summary>One screen of text for the station that needs a person most, and a line for each other. A pure function of what was posted.</summary>
internal static class TerminalScreen
{
    private const int MaxChartColumns = 100;

    public static IRenderable Of(IReadOnlyList<Posted> all, int width, bool unicode)
    {
        var first = all[0];
        var (view, told) = (first.View, new Told(first));
        var rows = new List<IRenderable>();
        if (view.Simulated) rows.Add(Words($"SIMULATED station, {view.Speed:0.#} x life. No water is flowing.", Style.Plain.Decoration(Decoration.Invert)));
        rows.Add(Headline(first));
        rows.Add(Words(first.IsSilent ? $"Not heard of for {TimeWords.Age(first.SilentSeconds)}. Last word: {view.Sentence}" : view.Sentence));
        if (told.Did is { } did) rows.Add(Words($"Done:  {did}"));
        if (told.Do is { } todo) rows.Add(Words($"To do: {todo}{(told.ByWhen is { } by ? $" By {view.ClockText(by)}." : told.HowSoon is { } soon ? $" How soon: {soon}." : "")}", Style.Plain.Decoration(Decoration.Bold)));
        foreach (var alarm in view.Alarms.Where(a => a.Stands)) rows.Add(Words($"! {alarm.Title}. {alarm.Do}", Style.Plain.Decoration(Decoration.Bold)));
        rows.Add(Text.Empty);
        rows.AddRange(TerminalChart.Draw(view, Math.Min(width - 1, MaxChartColumns), unicode).Select(line => Words(line)));
        rows.Add(Text.Empty);
        rows.Add(Values(told.Values));
        rows.AddRange(all.Skip(1).Select(other => Words($"{other.View.Name}: {WordLabel.Of(other)}. {new Told(other).Sentence}")));
        rows.Add(Words("Not a safety device.", Style.Plain.Decoration(Decoration.Dim)));
        return new Rows(rows);
    }

    private static Paragraph Headline(in Posted posted)
    {
        var view = posted.View;
        var style = WordLabel.Believed(posted) switch
        {
            StateWord.Act => new Style(Color.Black, Color.Fuchsia, Decoration.Bold),
            StateWord.Look => new Style(Color.Yellow, decoration: Decoration.Bold),
            StateWord.CannotTell => Style.Plain.Decoration(Decoration.Bold | Decoration.Italic),
            _ => Style.Plain.Decoration(Decoration.Bold),
        };
        var run = view.ElapsedSeconds is { } s ? $" {(int)(s / 3600)} h {(int)(s / 60) % 60:00} min" : "";
        return new Paragraph()
            .Append($" {WordLabel.Of(posted)} ", style)
            .Append(Plain.Line($" {view.Name}  {view.Now:HH':'mm':'ss}  {view.Phase}{run}, valve {new Told(posted).Valve}"), Style.Plain);
    }

    private static Grid Values(IReadOnlyList<ValueLine> values)
    {
        var grid = new Grid().AddColumns(4);
        var half = (values.Count + 1) / 2;
        for (var i = 0; i < half; i++)
        {
            var right = i + half < values.Count ? values[i + half] : null;
            grid.AddRow(Words(values[i].Label), Value(values[i]), Words(right?.Label ?? ""), right is null ? Text.Empty : Value(right));
        }

        return grid;
    }

    private static Text Value(ValueLine value)
    {
        var unit = value.Number is null ? "" : $" {value.Unit}";
        var range = value.Range is { } r ? $" ({r})" : "";
        var doubt = value switch
        {
            { Reason: { } reason } => $", {reason}",
            { AgeSeconds: null } => ", never read",
            { IsStale: true } => $", stale {TimeWords.Age(value.AgeSeconds.Value)}",
            _ => "",
        };
        return Words($"{value.Shown}{unit}{range}{doubt}", Style.Plain.Decoration(doubt.Length > 0 ? Decoration.Dim : Decoration.Bold));
    }

    private static Text Words(string words, Style? style = null) => new(Plain.Line(words), style);
}
