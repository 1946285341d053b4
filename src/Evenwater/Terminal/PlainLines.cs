using Evenwater.Page;
using Evenwater.Page.Live;

namespace Evenwater.Terminal;

/// <summary>Decides when a station is worth a line: when what matters has changed, and every half minute.</summary>
internal sealed class PlainLines
{
    /// <summary>At least this often, s.</summary>
    public const double EverySeconds = 30;

    private readonly Dictionary<string, (string Key, double At)> _last = new(StringComparer.Ordinal);

    /// <summary>The line to print now; null when there is nothing new.</summary>
    /// <param name="posted">The station.</param>
    /// <param name="nowSeconds">The machine's monotonic clock, s.</param>
    public string? Next(in Posted posted, double nowSeconds)
    {
        var view = posted.View;
        var key = string.Join('\n', [posted.IsSilent.ToString(), view.Word.ToString(), view.ValveOpen.ToString(), view.Phase, view.Did ?? "", .. view.Alarms.Select(a => $"{a.Title} {a.Standing}")]);
        if (_last.TryGetValue(view.Name, out var last) && last.Key == key && nowSeconds - last.At < EverySeconds) return null;
        _last[view.Name] = (key, nowSeconds);
        return Plain.Line(Line(posted));
    }

    private static string Line(in Posted posted)
    {
        var (view, told) = (posted.View, new Told(posted));
        var simulated = view.Simulated ? $" (simulated, {view.Speed:0.#} x life)" : "";
        var values = string.Join(", ", told.Values.Where(v => v.Number is not null && !v.IsStale).Take(6).Select(v => $"{v.Label.ToLowerInvariant()} {v.Shown} {v.Unit}"));
        var todo = (posted.IsSilent || view.Word is Core.Telling.StateWord.Act) && told.Do is { } act ? $" {act}" : "";
        var said = posted.IsSilent ? $"not heard of for {posted.SilentSeconds:F0} s. Last word: {view.Sentence}" : view.Sentence;
        return $"{view.Now:HH':'mm':'ss} {view.Name}{simulated} {WordLabel.Of(posted)}: {said}{todo} Valve {told.Valve}{(values.Length > 0 ? $"; {values}" : ".")}";
    }
}
