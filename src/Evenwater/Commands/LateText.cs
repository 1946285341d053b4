using Evenwater.Core.Planning;
using Evenwater.Core.Telling;
using Spectre.Console;

namespace Evenwater.Commands;

/// <summary>What if the keeper is late, or the drip is faster: one line a case.</summary>
internal static class LateText
{
    public static void Write(IAnsiConsole paper, IReadOnlyList<Late> cases, Func<double, string> clock, string litresForm)
    {
        if (cases.Count == 0) return;
        paper.WriteLine();
        paper.MarkupLine($"[bold]While you are away[/]");
        foreach (var late in cases) paper.WriteLine($"- {Line(late, clock, litresForm)}");
    }

    internal static string Line(Late late, Func<double, string> clock, string litresForm)
    {
        var closing = late switch
        {
            { ClosedHours: { } at, Even: true } => $"even, and closed since {clock(at)}",
            { ClosedHours: { } at, ByLimit: true } => $"closed since {clock(at)}, before it was even: the water would change faster or further than the animals' limit",
            { ClosedHours: { } at, RunsDry: true } => $"nothing runs in since {clock(at)}, before it was even: the tank has fallen to its intake",
            { ClosedHours: { } at } => $"closed since {clock(at)} by forecast, mark or budget, before it was even",
            _ => "still dripping",
        };
        var missed = late.DrawOffsMissed == 0 ? "" : $", {HowMany.Of(late.DrawOffsMissed, "planned draw-off")} not made while nobody is there";
        var rim = late.Caught ? "the catch vessel's rim" : "the rim";
        var over = late.OverHours is { } hours
            ? $" If nothing closed: over {rim} from {clock(hours)} on, {late.SpiltLitres.ToString(litresForm)} L on the floor by then."
            : $" If nothing closed: no water over {rim} by then.";
        return $"{late.Case}, back at {clock(late.BackHours)}: {closing}{missed}; {late.LitresAtBack.ToString(litresForm)} L at {late.CelsiusAtBack:0.0} °C{(late.WarmEnough ? "" : ", out of tolerance")}.{over}";
    }
}
